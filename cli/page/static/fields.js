// The fields: what is typed is kept at once; what cannot be read is said at its field.
import { make, units } from './net.js';

const QUIET_MS = 300, SAY_MS = 900;
const MM = { cm: 10, in: 25.4, mm: 1 };

export class Fields {
  #by = new Map(); #try; #set; #how;

  constructor(root, { attempt, keep, how }) {
    this.#try = attempt; this.#set = keep; this.#how = how;
    for (const element of root.querySelectorAll('.field[data-id]')) this.#adopt(element);
  }

  #adopt(element) {
    const { id, table, key, control } = element.dataset;
    const field = {
      id, table, key, control, element,
      input: element.querySelector('input:not(.slide), select'),
      slide: element.querySelector('.slide'),
      note: element.querySelector('.note'),
      entry: element.querySelector('.entry'),
      raw: null, dirty: false, wrong: '',
    };
    field.low = Number(field.slide?.min); field.high = Number(field.slide?.max);
    this.#by.set(id, field);
    if (control === 'choices') {
      element.addEventListener('change', () => this.#keep(field));
    } else if (control === 'choice' || control === 'flag') {
      field.input.addEventListener('change', () => this.#keep(field));
    } else {
      field.input.addEventListener('input', () => this.#typed(field));
      field.input.addEventListener('change', () => { if (field.dirty) this.#keep(field); });
      field.input.addEventListener('blur', () => { if (field.dirty) this.#keep(field); });
      if (control === 'length') field.input.addEventListener('keydown', (e) => this.#arrow(e, field));
    }
    if (field.slide) this.#sliding(field);
    element.querySelector('.how')?.addEventListener('click', () => this.#how(key));
  }

  #value(field) {
    const { control, input, element } = field;
    if (control === 'choices') return [...element.querySelectorAll('input:checked')].map((i) => i.value);
    if (control === 'flag') return input.checked;
    return input.value;
  }

  #typed(field) {
    field.dirty = true;
    clearTimeout(field.timer);
    field.timer = setTimeout(() => this.#keep(field, true), QUIET_MS);
  }

  async #keep(field, quiet = false, more = {}) {
    clearTimeout(field.timer);
    field.dirty = false;
    const text = this.#value(field);
    field.pending = (field.pending ?? 0) + 1;
    const done = await this.#set({ table: field.table, key: field.key, text, seen: () => field.raw, ...more });
    field.pending -= 1;
    if (this.#value(field) !== text && field.control !== 'choices') return;
    if (done.ok) { this.#wrong(field, ''); return; }
    if (done.status === 409) { this.#conflict(field, done.data.theirs); return; }
    const says = () => this.#wrong(field, done.data.says ?? 'It could not be kept.');
    if (quiet) { field.dirty = true; field.timer = setTimeout(says, SAY_MS - QUIET_MS); } else says();
  }

  #conflict(field, theirs) {
    const shown = theirs === null ? 'left out' : String(theirs);
    this.#wrong(field, `Meanwhile the file says ${shown}.`);
    field.note.append(
      make('br'),
      make('button', { type: 'button', onclick: () => this.#keep(field, false, { anyway: true }) }, 'Keep mine'),
      make('button', { type: 'button', onclick: () => { this.#wrong(field, ''); this.#set(null); } }, 'Take the file’s'),
    );
  }

  #arrow(e, field) {
    const steps = { ArrowUp: 1, ArrowDown: -1 }[e.key];
    if (!steps || !field.input.value.trim()) return;
    const now = field.slide ? Number(field.slide.value) : NaN;
    if (Number.isNaN(now)) return;
    e.preventDefault();
    this.#moved(field, now + steps * (units === 'in' ? 25.4 / 8 : 5));
  }

  #sliding(field) {
    field.slide.addEventListener('input', () => this.#moved(field, Number(field.slide.value)));
  }

  // A value in mm from a slide or an arrow key: drawn at once, kept when it rests.
  #moved(field, mm) {
    const held = Math.min(field.high, Math.max(field.low, mm));
    field.slide.value = held;
    field.input.value = shownLength(held);
    field.entry?.classList.remove('estimated');
    field.dirty = true;
    this.#try({ table: field.table, key: field.key, mm: held });
    clearTimeout(field.timer);
    field.timer = setTimeout(() => this.#keep(field), QUIET_MS);
  }

  #wrong(field, says) {
    field.wrong = says;
    const box = field.control === 'choices' ? field.element.querySelector('fieldset') : field.input;
    if (says) box.setAttribute('aria-invalid', 'true'); else box.removeAttribute('aria-invalid');
    this.#note(field);
  }

  #note(field) {
    const { note, wrong, doubt, estimate, fault } = field;
    const says = wrong || fault || doubt || estimate || '';
    note.className = `note${wrong || fault ? ' wrong' : doubt ? ' doubt' : ''}`;
    if (note.textContent !== says) note.textContent = says;
    note.setAttribute('role', wrong ? 'alert' : 'note');
  }

  // What stands in the file now; a field that is being typed in is left alone.
  show(states, doubts, fault) {
    for (const [id, state] of Object.entries(states)) {
      const field = this.#by.get(id);
      if (!field) continue;
      const busy = field.dirty || field.pending > 0 || Boolean(field.wrong);  // what could not be read stays as it was typed
      field.raw = state.raw;
      if (!busy) this.#fill(field, state);
      const text = field.control === 'length' || field.control === 'ratio' || field.control === 'words' || field.control === 'number';
      if (text) {
        const empty = state.empty ?? '';
        field.estimate = !state.value && empty ? (field.table === 'body' ? `estimated ${empty}` : `without it: ${empty.replaceAll('"', '')}`) : '';
        if (!busy && field.table === 'body') field.input.placeholder = empty.split(' ±')[0];
        field.entry?.classList.toggle('estimated', !field.input.value && Boolean(empty));
      }
      field.doubt = doubts[id] ?? '';
      field.fault = fault && fault.field === id ? fault.says : '';
      this.#note(field);
      if (field.slide && !busy) this.#rest(field, state);
    }
  }

  #fill(field, state) {
    if (field.wrong) this.#wrong(field, '');
    if (field.control === 'choices') {
      for (const box of field.element.querySelectorAll('input')) box.checked = state.value.includes(box.value);
    } else if (field.control === 'flag') {
      field.input.checked = state.value;
    } else if (field.control === 'choice') {
      field.input.value = state.value || field.input.value;
    } else if (field.input.value !== state.value && !sameTyped(field.input.value, state)) {
      field.input.value = state.value;
    }
  }

  #rest(field, state) {
    const told = state.value || (state.empty ?? '').split(' ±')[0];
    const mm = lengthMm(told);
    field.slide.classList.toggle('idle', Number.isNaN(mm));
    if (Number.isNaN(mm)) return;
    // A slide over every body there is would be too coarse to take hold of.
    const reach = Math.max(40, Math.abs(mm) * 0.25);
    field.slide.min = Math.max(field.low, mm - reach);
    field.slide.max = Math.min(field.high, mm + reach);
    field.slide.value = mm;
  }

  element(id) { return this.#by.get(id)?.element; }
  input(id) { return this.#by.get(id)?.input; }
  measured(key) { const f = this.#by.get(`body.${key}`); return Boolean(f?.input.value); }
  doubtful(key) { return Boolean(this.#by.get(`body.${key}`)?.doubt); }
}

// "83,5" stays as it was typed while it says the same as the file.
function sameTyped(typed, state) {
  return document.activeElement?.value === typed && typed.trim() !== '' && typed.replace(',', '.').trim() === String(state.value);
}

function lengthMm(text) {
  const match = /^([-+]?)(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(text) ?? null;
  if (match) return (match[1] === '-' ? -1 : 1) * (Number(match[2] ?? 0) + match[3] / match[4]) * MM[units];
  return Number.parseFloat(text) * MM[units];
}

function shownLength(mm) {
  if (units !== 'in') return String(Math.round(mm) / 10);
  const eighths = Math.round((Math.abs(mm) / 25.4) * 8);
  const whole = Math.floor(eighths / 8), rest = eighths % 8;
  const part = rest ? { 1: '1/8', 2: '1/4', 3: '3/8', 4: '1/2', 5: '5/8', 6: '3/4', 7: '7/8' }[rest] : '';
  return (mm < 0 ? '-' : '') + ([whole || '', part].filter(Boolean).join(' ') || '0');
}
