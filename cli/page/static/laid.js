// The cloth with the pieces on it, to scale: every piece is dragged by mouse, finger or keys. A
// print holds a piece to its level and to whole repeats; whether it may lie there is the server's
// to say, and where it may not it goes back.
import { paths, svgElement } from './drawing.js';
import { Line, make, send, units } from './net.js';

const STEP = units === 'in' ? 25.4 / 4 : 5;
const KEPT_AFTER_MS = 700;
const ROOM = 46;  // round the cloth, px: for the words at its edges

export class Laid {
  #box; #svg; #says; #how; #photo; #lines; #pieces; #cloth = null; #by = new Map(); #held = null; #kept;

  // `kept` is called when a piece was put somewhere else.
  constructor(kept) {
    this.#kept = kept;
    this.#svg = svgElement('svg', { class: 'laid', role: 'group' });
    this.#photo = svgElement('g', { class: 'photo' });
    this.#lines = svgElement('g', { class: 'lines' });
    this.#pieces = svgElement('g', { class: 'pieces' });
    this.#svg.append(this.#photo, this.#pieces, this.#lines);
    this.#says = make('p', { className: 'needs' });
    this.#says.setAttribute('role', 'status');
    this.#box = make('div', { className: 'laid-scroll' }, this.#svg);
    this.#how = make('p', { className: 'quiet', id: 'laid-how' });
    this.element = make('div', {}, this.#says, this.#box, this.#how);
    new ResizeObserver(() => this.#fit()).observe(this.#box);
  }

  get svg() { return this.#svg; }
  get photo() { return this.#photo; }

  show(cloth) {
    this.#cloth = cloth;
    this.#svg.setAttribute('aria-label', cloth.says);
    this.#says.textContent = cloth.needs;
    this.#how.textContent = `Drag a piece, or pick it with the tabulator and move it by the arrow keys (page keys in large steps, escape puts it back). ${cloth.keeps}`;
    const seen = new Set();
    for (const one of cloth.pieces) {
      seen.add(one.key);
      let piece = this.#by.get(one.key);
      if (!piece) { piece = this.#create(one); this.#by.set(one.key, piece); }
      piece.data = one;
      // An answer that comes late does not take a piece out of her hand.
      if (this.#held !== piece && piece.timer === undefined) { piece.x = one.x; piece.y = one.y; }
      piece.element.setAttribute('class', one.down ? 'piece down' : 'piece');
      piece.element.setAttribute('aria-label', `${one.name} on the cloth`);
      piece.element.setAttribute('aria-valuemin', one.start);
      piece.element.setAttribute('aria-valuemax', Math.round(cloth.size[0]));
      piece.outline.setAttribute('d', one.d);
      this.#put(piece);
    }
    for (const [key, piece] of this.#by) if (!seen.has(key)) { piece.element.remove(); this.#by.delete(key); }
    // In the order in which they lie, so that the tabulator goes along the cloth.
    const order = cloth.pieces.map((p) => this.#by.get(p.key).element);
    if (order.some((e, i) => this.#pieces.children[i] !== e)) {
      const focused = document.activeElement;
      this.#pieces.append(...order);
      if (order.includes(focused)) focused.focus();
    }
    this.#fit();
  }

  #fit() {
    if (!this.#cloth || !this.#box.clientWidth) return;
    const [wide, high] = this.#cloth.size;
    // As wide as there is room, unless its far edge would then be out of sight.
    const across = Math.max(this.#box.clientWidth, 560) - 4 - 2 * ROOM;
    const scale = Math.min(across / wide, Math.max((0.7 * innerHeight - ROOM) / high, 440 / wide));
    const room = ROOM / scale, px = wide * scale + 2 * ROOM;
    this.scale = scale;
    this.#svg.setAttribute('viewBox', `${-room} ${-room / 2} ${wide + 2 * room} ${high + room}`);
    this.#svg.setAttribute('width', px); this.#svg.setAttribute('height', (high + room) * scale);
    this.#draw(wide, high, 12 / scale);
    for (const { data, words, number } of this.#by.values()) {
      const fits = data.length * scale > 7 * data.name.length && data.breadth * scale > 30;
      words.textContent = fits ? data.name : '';
      number.textContent = data.number;
      for (const [text, down] of [[number, fits ? -3 : 4], [words, 10]]) {
        text.setAttribute('font-size', 11.5 / scale);
        text.setAttribute('x', data.middle[0]);
        text.setAttribute('y', data.middle[1] + down / scale);
      }
    }
    this.#photo.dispatchEvent(new CustomEvent('sized', { detail: { wide, high } }));
  }

  #draw(wide, high, size) {
    paths(this.#lines, this.#cloth.lines.map(([kind, , a, b, c, d], i) => [`${i}`, `M${a} ${b}L${c} ${d}`, kind]));
    for (const old of this.#lines.querySelectorAll('text')) old.remove();
    for (const [kind, words, x1, y1, x2, y2] of this.#cloth.lines) {
      if (!words) continue;
      const level = y1 === y2, inside = kind === 'border' || kind === 'eye';
      const at = level ? (inside ? [x2 + size * 0.3, y1 + size * 0.35] : [x1 + size * 0.3, y1 >= high ? y1 + size * 1.3 : y1 - size * 0.5]) : [x1 + (kind === 'end' ? -size * 0.6 : size), (y1 + y2) / 2];
      const text = svgElement('text', { x: at[0], y: at[1], 'font-size': size * 0.92 });
      if (!level) { text.setAttribute('transform', `rotate(-90 ${at[0]} ${at[1]})`); text.setAttribute('text-anchor', 'middle'); }
      text.textContent = words;
      this.#lines.append(text);
    }
    this.#ends();
  }

  #create(one) {
    const element = svgElement('g', { role: 'slider', tabindex: 0, 'aria-roledescription': 'piece', 'aria-describedby': 'laid-how' });
    element.dataset.piece = one.key;
    const outline = svgElement('path'), number = svgElement('text'), words = svgElement('text');
    element.append(outline, number, words);
    const piece = { element, outline, number, words, data: one };
    piece.line = new Line(async ([x, y]) => {
      const { ok, data } = await this.#ask(piece, x, y, false);
      if (!ok || (this.#held !== piece && piece.timer === undefined)) return;
      element.classList.toggle('refused', Boolean(data.refused));
      this.#says.textContent = data.refused || data.needs;
    });
    element.addEventListener('keydown', (e) => this.#key(e, piece));
    element.addEventListener('pointerdown', (e) => this.#take(e, piece));
    element.addEventListener('pointermove', (e) => this.#move(e, piece));
    element.addEventListener('pointerup', () => this.#let(piece));
    element.addEventListener('pointercancel', () => { this.#held = null; this.#back(piece); });
    return piece;
  }

  // Whole steps of a print from where it lies, or anywhere within the fabric.
  #snap(piece, x, y) {
    const { data } = piece;
    const stepped = (wanted, now, step, low, high) => {
      if (step === null) return Math.min(Math.max(wanted, low), Math.max(low, high));
      const n = Math.round((wanted - now) / step);
      return now + step * Math.min(Math.max(n, Math.ceil((low - now) / step - 1e-6)), Math.floor((high - now) / step + 1e-6));
    };
    piece.x = stepped(x, data.x, data.along, data.start, Infinity);
    piece.y = data.fixed ? data.y : stepped(y, data.y, data.across, data.low, data.high);
    this.#put(piece);
    piece.line.push([piece.x, piece.y]);
  }

  // What is moved lies on top; the others are moved under it, because it would lose hold itself.
  #raise({ element }) {
    for (const other of [...this.#pieces.children]) if (other !== element) this.#pieces.insertBefore(other, element);
  }

  #put(piece) {
    const { element, data, x, y } = piece;
    element.setAttribute('transform', `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
    element.setAttribute('aria-valuenow', Math.round(x));
    const moved = x !== data.x || y !== data.y;
    element.setAttribute('aria-valuetext', moved ? this.#place(x, y) : data.place);
    this.#ends();
  }

  #place(x, y) {
    const show = (mm) => (units === 'in' ? `${(mm / 25.4).toFixed(1)} in` : `${(mm / 10).toFixed(1)} cm`);
    return `${show(x)} from the cut end, ${show(this.#cloth.size[1] - y)} from the selvedge`;
  }

  // The end of what is needed runs along with the piece.
  #ends() {
    const line = this.#lines.querySelector('.needed');
    if (!line) return;
    const end = Math.max(...[...this.#by.values()].map((p) => p.x + p.data.length));
    line.setAttribute('d', `M${end.toFixed(1)} 0L${end.toFixed(1)} ${this.#cloth.size[1]}`);
  }

  #ask(piece, x, y, keep) {
    return send('place', { piece: piece.data.key, x, y: this.#cloth.size[1] - y, keep });
  }

  #back(piece) {
    clearTimeout(piece.timer); piece.timer = undefined;
    piece.line.drop();
    piece.x = piece.data.x; piece.y = piece.data.y;
    piece.element.classList.remove('held', 'refused');
    this.#put(piece);
    this.#says.textContent = this.#cloth.needs;
  }

  async #keep(piece) {
    clearTimeout(piece.timer); piece.timer = undefined;
    piece.line.drop();
    const { x, y, data: from } = piece;
    piece.element.classList.remove('held');
    if (x === from.x && y === from.y) { this.#back(piece); return; }
    const { ok, data } = await this.#ask(piece, x, y, true);
    piece.element.classList.remove('refused');
    if (!ok) { this.#back(piece); this.#says.textContent = data.says; return; }
    this.show(data.cloth);
    this.#says.textContent = data.refused || data.needs;
    if (!data.refused) this.#kept(data);
  }

  #key(e, piece) {
    if (e.key === 'Escape') { this.#back(piece); return; }
    const by = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1], PageUp: [10, 0], PageDown: [-10, 0] }[e.key];
    if (!by) return;
    e.preventDefault();
    if (piece.timer === undefined) this.#raise(piece);
    const { data } = piece, far = Math.abs(by[0]) > 1 && data.along ? 0.1 : 1;
    this.#snap(piece, piece.x + by[0] * far * (data.along ?? STEP), piece.y + by[1] * (data.across ?? STEP));
    clearTimeout(piece.timer);
    piece.timer = setTimeout(() => this.#keep(piece), KEPT_AFTER_MS);
  }

  #take(e, piece) {
    if (e.button) return;
    e.preventDefault();
    piece.element.focus({ preventScroll: true });
    piece.element.setPointerCapture(e.pointerId);
    piece.element.classList.add('held');
    clearTimeout(piece.timer); piece.timer = undefined;
    this.#raise(piece);
    this.#held = piece;
    piece.from = { x: e.clientX, y: e.clientY, atX: piece.x, atY: piece.y };
  }

  #move(e, piece) {
    if (this.#held !== piece) return;
    const { from } = piece;
    this.#snap(piece, from.atX + (e.clientX - from.x) / this.scale, from.atY + (e.clientY - from.y) / this.scale);
  }

  #let(piece) {
    if (this.#held !== piece) return;
    this.#held = null;
    this.#keep(piece);
  }
}
