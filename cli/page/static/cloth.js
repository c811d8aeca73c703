// The cloth: a ruler on the screen, a photograph under the pieces, and the lay.
import { make, send, stream, units } from './net.js';
import { svgElement } from './drawing.js';
import { Laid } from './laid.js';
import { Photo } from './photo.js';
import { inert } from './trial.js';
import { big } from './big.js';

const $ = (id) => document.getElementById(id);
const CARD = { wide: 85.6, high: 53.98 };  // ISO/IEC 7810, ID-1
const RULER_MM = 180;

export function startCloth(flat, photoLayer) {
  ruler();
  const photo = new Photo();
  photo.under(flat, photoLayer);
  photo.under(laid.svg, laid.photo, 90);
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

// --- the lay --------------------------------------------------------------------------------------

const laid = new Laid(() => { dispatchEvent(new Event('laid')); lay(false); });
const sheets = make('details', {}, make('summary', {}, 'The same as it is printed, with the table'));

async function lay(again) {
  const says = $('lay-says'), first = !laid.element.isConnected;
  if (first || again) says.textContent = 'Laying the pieces …';
  const { ok, data } = await send('lay', { again });
  if (!ok) { says.textContent = data.says; return; }
  says.replaceChildren(...data.says.map((s) => make('p', {}, s)));
  if (data.short) says.append(make('p', {}, make('button', { type: 'button', onclick: remedies }, 'What would make it enough?')));
  laid.show(data.cloth);
  sheets.replaceChildren(sheets.firstChild, ...data.drawings.map((d, i) => inert(d, `the pieces on the cloth, sheet ${i + 1}`)));
  if (first || again) { big('on the cloth', [laid.element, sheets]); dispatchEvent(new Event('laid')); }
}

// What helps is told as it is found; closing the line stops the search.
function remedies(e) {
  const trying = make('p', {}, 'Looking for what would make it enough …');
  trying.setAttribute('role', 'status');
  const list = make('ul', {});
  const stop = make('button', { type: 'button' }, 'Stop looking');
  const asked = e.target;
  const end = (words) => {
    line.close();
    trying.textContent = words;
    if (document.activeElement === stop) { trying.tabIndex = -1; trying.focus(); }
    stop.remove();
  };
  asked.parentElement.replaceWith(make('div', { className: 'helps' }, trying, list, make('p', {}, stop)));
  stop.focus();
  const line = stream('remedies');
  stop.addEventListener('click', () => end(list.children.length ? 'Stopped; what was found so far:' : 'Stopped; nothing was found so far.'));
  line.addEventListener('message', ({ data }) => {
    const told = JSON.parse(data);
    if (told.trying) trying.textContent = `Trying: ${told.trying} …`;
    if (told.help) list.append(make('li', {}, told.fits ? make('b', {}, 'enough: ') : '', told.help));
    if (told.done) end(told.done);
  });
  line.addEventListener('error', () => end('The search has broken off; ask again.'));
}
