// One spec on the table: state in, drawings and fields out, every change to the server and back.
import { Line, ask, events, make, send, units } from './net.js';
import { paths, putAt, sheetOf, viewBox, words } from './drawing.js';
import { Fields } from './fields.js';
import { Handles } from './handles.js';
import { startCloth } from './cloth.js';
import { startOut } from './out.js';
import { startTrial } from './trial.js';

const $ = (id) => document.getElementById(id);
const flat = $('flat'), figure = $('figure');
const layer = (svg, name) => svg.querySelector(`.${name}`);

let state = JSON.parse($('state').textContent);
let base = null;      // girths before the change that is going on
let girths = [];
let lastChange = -Infinity;
const drawnListeners = [];

// --- drawing --------------------------------------------------------------------------------------

const handles = new Handles(flat, $('handles'), (asked) => attempt(asked), (asked, only) => keep(asked, only));

function draw(now) {
  const { wide } = viewBox(flat, now.flat.size);
  paths(layer(flat, 'paths'), now.flat.paths.map(([name, kind, d]) => [name, d, kind]));
  words(layer(flat, 'words'), now.flat.words, Math.max(26, wide / 44));
  paths(layer(figure, 'on'), now.on.pants);
  const tones = paths(layer(figure, 'tone'), now.on.tone);
  for (const [name, , tone] of now.on.tone) tones.get(name).element.setAttribute('fill-opacity', Math.min(0.6, tone * 0.32));
  if (now.figure) drawFigure(now.figure);
  handles.show(now.handles);
  if (now.girths) tell(now.girths, now.findings);
  for (const done of drawnListeners.splice(0)) done();
}

function drawFigure(now) {
  const { wide } = viewBox(figure, now.size);
  paths(layer(figure, 'body'), now.body);
  paths(layer(figure, 'tapes'), now.tapes);
  words(layer(figure, 'names'), now.names.map(([name, x]) => [name, name, x, now.floor + wide / 42]), wide / 46);
  picks(now.picks);
}

const picked = new Map();

function picks(list) {
  const sheet = sheetOf(figure, $('picks').parentElement);
  for (const one of list) {
    let button = picked.get(one.key);
    if (!button) {
      button = make('button', { type: 'button', className: 'picktape', onclick: () => pick(one.key) }, one.key.replaceAll('_', ' '));
      button.setAttribute('aria-label', `${one.key.replaceAll('_', ' ')}, tape on the figure`);
      picked.set(one.key, button);
      $('picks').append(button);
    }
    button.place = one;
    button.classList.toggle('leftward', one.side === 'left');
    putAt(button, sheet.place(one.x, one.y));
  }
  mark();
}

function mark() {
  for (const [key, button] of picked) {
    const measured = fields.measured(key);
    button.classList.toggle('measured', measured);
    button.classList.toggle('estimated', !measured);
    button.classList.toggle('doubtful', fields.doubtful(key));
  }
}

async function pick(key) {
  history.replaceState(null, '', '#herself');
  showSection();
  fields.input(`body.${key}`)?.focus();
  await howTo(key);
}

function placeAll() {
  handles.place();
  picks([...picked.values()].map((b) => b.place));
}
new ResizeObserver(placeAll).observe(flat);
new ResizeObserver(placeAll).observe(figure);

// --- what is told ---------------------------------------------------------------------------------

let telling = null;

// What is told follows the drawing at a pace that can be read, the newest last.
function tell(now, findings) {
  girths = now;
  telling ??= setTimeout(() => { telling = null; say(girths, newest); }, 120);
  newest = findings;
}

let newest = [];

function say(now, findings) {
  const before = new Map((base ?? now).map((g) => [g.name, g]));
  const moved = now.filter((g) => before.has(g.name) && Math.abs(before.get(g.name).mm - g.mm) >= 1);
  const shown = moved.filter((g) => g.stretch).concat(moved.filter((g) => !g.stretch)).slice(0, 3);
  const bare = (says) => says.replace(/ (cm|mm)$/, '');
  const parts = shown.map((g) => `${g.name} ${bare(before.get(g.name).says)} → ${g.says}${g.stretch ? `, ${g.stretch}` : ''}`);
  const hip = now.find((g) => g.name === 'hip') ?? now[0];
  if (!parts.length) parts.push(`${hip.name} ${hip.says}, ${hip.stretch}`);
  const doubts = findings.filter((f) => f.level !== 'note');
  const told = doubts.length ? ` ${doubts.length === 1 ? 'One warning' : `${doubts.length} warnings`}: ${doubts[0].says}` : '';
  const text = `${parts.join('; ')}.${told}`;
  if ($('live').textContent !== text) $('live').textContent = text;
  rows(now);
  found(findings);
}

function rows(now) {
  $('girths').replaceChildren(...now.map((g) => make('tr', {},
    make('th', { scope: 'row' }, g.name), make('td', {}, g.body ?? ''), make('td', {}, g.says),
    make('td', { className: g.tight ? 'tight' : '' }, g.stretch ? (g.tight ? `${g.stretch}: more than wears well` : g.stretch) : ''))));
}

const LEVEL = { error: 'Not to be cut', warning: 'Warning', note: 'Note' };

function found(list) {
  const items = list.map((f) => make('li', { className: f.level }, make('b', {}, `${LEVEL[f.level]}: `), f.says));
  $('findings').replaceChildren(...(items.length ? items : [make('li', {}, 'Every check passes.')]));
}

// --- changes --------------------------------------------------------------------------------------

const trying = new Line(async (asked) => {
  const { ok, data } = await send('attempt', asked);
  if (ok && data.flat) draw(data);
});

function begin() {
  const now = performance.now();
  if (now - lastChange > 1500 && girths.length) base = girths;
  lastChange = now;
}

function attempt(asked) { begin(); trying.push(asked); }

let changes = Promise.resolve();

// Saves one after the other, so that the file has the newest value last.
function keep(asked, only = false) {
  begin();
  const done = changes.then(() => save(asked, only));
  changes = done.catch(() => {});
  return done;
}

async function save(asked, only) {
  if (asked === null) { await refresh(); return { ok: true }; }
  // What the file was known to hold is asked now, after the changes that went before.
  const seen = asked.seen ? { seen: asked.seen() } : {};
  const done = await send('change', { ...asked, ...seen, ...(only ? { only_save: true } : {}) });
  if (done.ok && !only) { trying.drop(); apply(done.data); }
  if (!done.ok && asked.mm !== undefined) { $('live').textContent = done.data.says; await refresh(); }
  return done;
}

async function refresh() {
  const { ok, status, data } = await ask('state');
  if (ok) apply(data);
  else if (!status) { $('fault').hidden = false; $('fault').textContent = data.says; }
}

addEventListener('laid', () => after());

let later = 0;

function apply(now) {
  if (now.version < state.version) return;
  state = now;
  fields.show(now.fields, now.doubts, now.fault);
  document.title = `${now.title} · outseam`;
  flat.setAttribute('aria-label', `pattern of ${now.title}: its pieces laid flat`);
  if (document.activeElement !== $('title')) $('title').value = now.title;
  $('undo').disabled = !now.undo; $('redo').disabled = !now.redo;
  $('needed').hidden = !now.needed; $('needed').textContent = now.needed;
  const says = now.fault?.says ?? '';
  $('fault').hidden = !says; $('fault').textContent = says;
  document.body.classList.toggle('stale', now.stale);
  if (now.figure) drawFigure(now.figure);
  if (now.draft) draw(now.draft);
  paths(layer(flat, 'ghost'), now.ghost);
  versions(now.kept);
  trial.altered(now.altered);
  mark();
  clearTimeout(later);
  later = setTimeout(after, 500);
}

async function after() {
  const { ok, data } = await ask('later');
  if (!ok || data.version !== state.version) return;
  const next = $('next');
  next.textContent = data.next;
  for (const one of document.querySelectorAll('.field.wanted')) one.classList.remove('wanted');
  const field = data.next_field && fields.element(data.next_field);
  if (field) {
    field.classList.add('wanted');
    const key = data.next_field.slice(5);
    next.append(' ', make('button', { type: 'button', onclick: () => pick(key) }, 'Show how'));
  }
  $('cloth-length').textContent = data.cloth && `Cloth: ${data.cloth}`;
}

// --- versions -------------------------------------------------------------------------------------

const laid = new Map();

function versions(count) {
  $('compare').hidden = count === 0;
  const list = $('kept');
  while (list.children.length < count) {
    const number = list.children.length + 1;
    const box = make('input', { type: 'checkbox', onchange: () => lay(number, box.checked) });
    list.append(make('li', {}, make('label', { className: 'tick' }, box, ` lay version ${number} under the pieces`)));
  }
  for (const [number] of laid) lay(number, true);
}

async function lay(number, on) {
  if (on) {
    const { ok, data } = await ask(`kept/${number}`);
    if (ok) laid.set(number, data.map(([name, d]) => [`${number}-${name}`, d]));
  } else laid.delete(number);
  paths(layer(flat, 'kept'), [...laid.values()].flat());
}

$('keep').addEventListener('click', async () => { const done = await send('keep'); if (done.ok) apply(done.data); });
$('undo').addEventListener('click', () => step({ by: -1 }));
$('redo').addEventListener('click', () => step({ by: 1 }));

async function step(asked) {
  begin();
  const done = await send('step', asked);
  if (done.ok) apply(done.data);
}

$('history').addEventListener('toggle', async () => {
  if (!$('history').open) return;
  const { data } = await ask('history');
  $('steps').replaceChildren(...data.map(({ number, when }) => make('li', {}, when,
    make('button', { type: 'button', ariaLabel: `go back to ${when}, change ${number + 1}`, onclick: () => step({ to: number }) }, 'Go back to it'))));
});

// --- how to measure -------------------------------------------------------------------------------

async function howTo(key) {
  const { ok, data } = await ask(`../../how-to/${key}`);
  const box = $('how');
  box.hidden = !ok;
  if (!ok) return;
  const entry = (name, text) => [make('dt', {}, name), make('dd', {}, text)];
  box.replaceChildren(
    make('img', { src: new URL(`../../how-to/${key}.svg`, document.baseURI).href, alt: `how to measure: ${data.title}` }),
    make('div', {}, make('h3', {}, data.title), make('dl', {},
      ...entry('tape', data.tape), ...entry('stand', data.stand), ...entry('easy to get wrong', data.mistakes),
      ...entry('used for', data.used_for), ...entry('left out', data.if_missing)),
    make('button', { type: 'button', onclick: () => { box.hidden = true; } }, 'Put away')),
  );
  for (const [name, entry] of paths(layer(figure, 'tapes'), state.figure?.tapes ?? [])) {
    entry.element.classList.toggle('picked', name.endsWith(`-${key}`));
  }
}

// --- the page -------------------------------------------------------------------------------------

const SECTIONS = ['herself', 'style', 'cloth', 'trial', 'out'];

function showSection() {
  const wanted = SECTIONS.includes(location.hash.slice(1)) ? location.hash.slice(1) : 'herself';
  for (const name of SECTIONS) $(`s-${name}`).hidden = name !== wanted;
  for (const link of document.querySelectorAll('nav a')) {
    if (link.hash === `#${wanted}`) link.setAttribute('aria-current', 'page'); else link.removeAttribute('aria-current');
  }
}
addEventListener('hashchange', showSection);
for (const link of document.querySelectorAll('nav a')) {
  link.addEventListener('click', (e) => {
    e.preventDefault();  // the sections take turns in one place; nothing is to scroll
    history.replaceState(null, '', link.hash);
    showSection();
    const work = document.querySelector('.work');
    if (scrollY > work.offsetTop) scrollTo(0, work.offsetTop - (getComputedStyle(document.querySelector('.view')).position === 'sticky' && work.offsetLeft < 9 ? document.querySelector('.view').offsetHeight : 0));
  });
}

$('shown').addEventListener('change', (e) => {
  document.querySelector('.sheets').className = `sheets ${e.target.value}`;
  $('big').hidden = e.target.value !== 'big';
  placeAll();
});
$('units').addEventListener('change', (e) => {
  localStorage.setItem('units', e.target.value);
  location.search = `?units=${e.target.value}`;
});
$('title').addEventListener('change', (e) => keep({ table: '', key: 'title', text: e.target.value }));

// When the window is narrow, at once or later: a phone is turned, a window is pulled.
function whenNarrow(rem, act) {
  const narrow = matchMedia(`(max-width: ${rem}rem)`);
  if (narrow.matches) act();
  narrow.addEventListener('change', () => { if (narrow.matches) act(); });
}
whenNarrow(68, () => { document.querySelector('.told').open = false; });
whenNarrow(40, () => {
  const pieces = document.querySelector('#shown input[value=flat]');
  pieces.checked = true;
  pieces.dispatchEvent(new Event('change', { bubbles: true }));
});

const remembered = localStorage.getItem('units');
if (!location.search && remembered && remembered !== units) location.search = `?units=${remembered}`;

const fields = new Fields(document, { attempt, keep: (asked) => keep(asked), how: howTo });
const trial = startTrial(refresh);
startCloth(flat, layer(flat, 'photo'));
startOut();
showSection();
apply({ ...state });

const line = events();
line.addEventListener('message', (e) => { if (Number(e.data) !== state.version && trying.idle) refresh(); });

// For whoever times the drawing.
window.outseam = { draw, drawn: () => new Promise((done) => drawnListeners.push(done)) };
document.documentElement.dataset.ready = 'true';
