// What can be taken hold of on the drawing. Every handle is a slider: keys do what the mouse does.
import { putAt, sheetOf } from './drawing.js';
import { make, units } from './net.js';

const STEP = units === 'in' ? 25.4 / 8 : 2;
const SAVE_MS = 350;

export class Handles {
  #svg; #over; #try; #set; #by = new Map(); #held = null;

  // `attempt({table, key, mm, signed})` draws a value, `keep` saves it too.
  constructor(svg, over, attempt, keep) { this.#svg = svg; this.#over = over; this.#try = attempt; this.#set = keep; }

  show(list) {
    const seen = new Set();
    for (const one of list) {
      seen.add(one.name);
      let handle = this.#by.get(one.name);
      if (!handle) { handle = this.#create(one); this.#by.set(one.name, handle); }
      handle.data = one;
      const { element } = handle;
      element.setAttribute('aria-valuemin', one.low);
      element.setAttribute('aria-valuemax', one.high);
      element.setAttribute('aria-valuenow', one.mm);
      element.setAttribute('aria-valuetext', one.says);
      element.firstChild.textContent = `${one.name} ${one.says}`;
    }
    for (const [name, handle] of this.#by) if (!seen.has(name)) { handle.element.remove(); this.#by.delete(name); }
    this.place();
  }

  place() {
    const sheet = sheetOf(this.#svg, this.#over.parentElement);
    for (const { element, data } of this.#by.values()) {
      const at = sheet.place(data.x, data.y);
      putAt(element, at);
      element.classList.toggle('leftward', at.x > sheet.wide * 0.7 || data.key === 'inseam');
    }
  }

  #create(one) {
    const element = make('div', { className: 'handle', tabIndex: 0, role: 'slider' }, make('span', { ariaHidden: 'true' }));
    element.setAttribute('aria-label', `${one.name}, on the drawing`);
    element.dataset.handle = one.key;
    const handle = { element, data: one };
    element.addEventListener('keydown', (e) => this.#key(e, handle));
    element.addEventListener('pointerdown', (e) => this.#take(e, handle));
    element.addEventListener('pointermove', (e) => this.#move(e, handle));
    element.addEventListener('pointerup', () => this.#let(handle));
    element.addEventListener('pointercancel', () => this.#let(handle));
    this.#over.append(element);
    return handle;
  }

  #ask(handle, mm) {
    const { key, low, high, signed } = handle.data;
    return { table: 'style', key, mm: Math.min(high, Math.max(low, mm)), signed };
  }

  #key(e, handle) {
    const steps = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 5, PageDown: -5 }[e.key];
    if (!steps) return;
    e.preventDefault();
    const from = handle.wanted ?? handle.data.mm;
    handle.wanted = this.#ask(handle, from + steps * STEP).mm;
    this.#try(this.#ask(handle, handle.wanted));
    clearTimeout(handle.timer);
    handle.timer = setTimeout(() => { const mm = handle.wanted; handle.wanted = undefined; this.#set(this.#ask(handle, mm)); }, SAVE_MS);
  }

  #take(e, handle) {
    e.preventDefault();
    handle.element.focus();
    handle.element.setPointerCapture(e.pointerId);
    handle.element.classList.add('held');
    const { scale } = sheetOf(this.#svg, this.#over.parentElement);
    this.#held = { handle, x: e.clientX, y: e.clientY, mm: handle.data.mm, scale, saved: performance.now() };
  }

  #move(e, handle) {
    const held = this.#held;
    if (held?.handle !== handle) return;
    const right = (e.clientX - held.x) / held.scale, up = (held.y - e.clientY) / held.scale;
    held.now = held.mm + right * handle.data.across + up * handle.data.up;
    const asked = this.#ask(handle, held.now);
    this.#try(asked);
    if (performance.now() - held.saved > SAVE_MS) { held.saved = performance.now(); this.#set(asked, true); }
  }

  #let(handle) {
    const held = this.#held;
    handle.element.classList.remove('held');
    this.#held = null;
    if (held?.handle === handle && held.now !== undefined) this.#set(this.#ask(handle, held.now));
  }
}
