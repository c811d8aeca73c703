// The cloth: a ruler on the screen, a photograph under the pieces, and the lay.
import { ask, make, send, units } from './net.js';
import { svgElement } from './drawing.js';
import { inert } from './trial.js';
import { big } from './big.js';

const $ = (id) => document.getElementById(id);
const CARD = { wide: 85.6, high: 53.98 };  // ISO/IEC 7810, ID-1
const RULER_MM = 180;

export function startCloth(flat, photoLayer) {
  ruler();
  photo(flat, photoLayer);
  $('stretch').addEventListener('click', async () => {
    const { data } = await send('stretch', { rest: $('rest').value, pulled: $('pulled').value, way: $('way').value });
    $('stretch-says').textContent = data.says;
  });
  $('lay').addEventListener('click', () => lay(false));
  $('lay-again').addEventListener('click', () => lay(true));
}

function ruler() {
  const size = $('card-size');
  size.value = localStorage.getItem('px-per-mm') ?? 96 / 25.4;
  const draw = () => {
    const px = Number(size.value), svg = $('ruler');
    localStorage.setItem('px-per-mm', px);
    size.setAttribute('aria-valuetext', `${Math.round(px * CARD.wide)} pixels wide`);
    svg.setAttribute('width', px * (RULER_MM + 8)); svg.setAttribute('height', px * (CARD.high + 26));
    svg.setAttribute('viewBox', `-4 -4 ${RULER_MM + 8} ${CARD.high + 26}`);
    svg.replaceChildren(svgElement('rect', { width: CARD.wide, height: CARD.high, rx: 3.2, fill: 'none', stroke: '#231f1c', 'stroke-width': 0.4 }));
    const top = CARD.high + 6, step = units === 'in' ? 25.4 / 8 : 1, each = units === 'in' ? 8 : 10;
    for (let n = 0; n * step <= RULER_MM; n += 1) {
      const x = n * step, whole = n % each === 0, half = n % (each / 2) === 0;
      svg.append(svgElement('path', { d: `M${x} ${top}v${whole ? 9 : half ? 6.5 : 4}`, stroke: '#231f1c', 'stroke-width': 0.25 }));
      if (whole) { const text = svgElement('text', { x: x + 0.8, y: top + 12, 'font-size': 4 }); text.textContent = n / each; svg.append(text); }
    }
  };
  size.addEventListener('input', draw);
  draw();
}

function photo(flat, layer) {
  const input = $('photo'), width = $('photo-width');
  let source = null;
  const put = async () => {
    if (!source) { layer.replaceChildren(); return; }
    const mm = Number.parseFloat(width.value.replace(',', '.')) * (units === 'in' ? 25.4 : 10);
    if (!(mm > 10)) return;
    const picture = new Image();
    picture.src = source;
    await picture.decode();
    const high = (mm * picture.naturalHeight) / picture.naturalWidth;
    const defs = svgElement('defs'), pattern = svgElement('pattern', { id: 'print', width: mm, height: high, patternUnits: 'userSpaceOnUse' });
    pattern.append(svgElement('image', { href: source, width: mm, height: high }));
    defs.append(pattern);
    layer.replaceChildren(defs, svgElement('rect', { width: '100%', height: '100%', fill: 'url(#print)', opacity: 0.8 }));
    flat.classList.add('printed');
  };
  input.addEventListener('change', () => {
    if (source) URL.revokeObjectURL(source);
    source = input.files.length ? URL.createObjectURL(input.files[0]) : null;
    put();
  });
  width.addEventListener('change', put);
}

async function lay(again) {
  const says = $('lay-says');
  says.textContent = 'Laying the pieces …';
  const { ok, data } = await send('lay', { again });
  if (!ok) { says.textContent = data.says; return; }
  says.replaceChildren(...data.says.map((s) => make('p', {}, s)));
  if (data.short) says.append(make('p', {}, make('button', { type: 'button', onclick: remedies }, 'What would make it enough?')));
  big('on the cloth', data.drawings.map((d, i) => inert(d, `the pieces on the cloth, sheet ${i + 1}`)));
}

async function remedies(e) {
  const says = e.target.parentElement;
  says.textContent = 'Drafting and laying what might help …';
  const { data } = await ask('remedies');
  says.replaceChildren(data.says, make('ul', {}, ...(data.helps ?? []).map((h) => make('li', {}, h))));
}
