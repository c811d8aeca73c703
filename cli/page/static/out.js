// What leaves the desk: files made by buttons that say what they make, lists, steps to tick off.
import { ask, make, send } from './net.js';
import { table } from './trial.js';

const $ = (id) => document.getElementById(id);

export function startOut() {
  for (const button of document.querySelectorAll('.make[data-make]')) {
    button.addEventListener('click', () => makeFiles(button));
  }
  $('square').addEventListener('submit', async (e) => {
    e.preventDefault();
    const { data } = await send('square', { across: $('across').value, along: $('along').value });
    $('square-says').textContent = data.says;
  });
  $('shop').addEventListener('click', shopping);
  $('sew').addEventListener('click', sewing);
  $('phone').addEventListener('click', phone);
  $('phone-stop').addEventListener('click', async () => {
    await send('phone_stop');
    $('phone-says').textContent = 'Stopped.';
    $('phone-stop').hidden = true;
  });
}

async function phone() {
  const { ok, data } = await send('phone_start');
  if (!ok) { $('phone-says').textContent = data.says; return; }
  $('phone-says').replaceChildren(
    make('p', {}, 'On the phone open ', make('strong', {}, data.address), ' and type the code'),
    make('p', { className: 'code' }, data.code),
  );
  $('phone-stop').hidden = false;
}

async function makeFiles(button) {
  const says = document.querySelector(`.made[data-made="${CSS.escape(button.dataset.make)}"]`);
  button.disabled = true;
  says.textContent = 'Drawing …';
  try {
    const { ok, data } = await send('make', { what: button.dataset.make });
    if (!ok) { says.textContent = data.says; return; }
    says.replaceChildren('Made: ');
    data.files.forEach(({ name, pages }, i) => {
      const count = pages ? `, ${pages} ${pages === 1 ? 'page' : 'pages'}` : '';
      says.append(i ? '; ' : '', make('a', { href: `made/${name}`, target: '_blank', rel: 'noopener' }, name), count);
    });
    says.append(`. In the folder ${data.folder}.`);
  } finally { button.disabled = false; button.focus(); }
}

async function shopping() {
  const { ok, data } = await ask('shopping');
  const box = $('shop-list');
  if (!ok) { box.textContent = data.says; return; }
  box.replaceChildren(
    make('h3', {}, 'Shopping list'),
    table(['cloth', 'usable when cut', 'length of the lay', 'once washed', 'buy'], data.fabric),
    ...data.says.map((s) => make('p', { className: 'quiet' }, s)),
    table(['what', 'buy', 'needed', 'why'], data.rest),
    make('ol', { className: 'quiet' }, ...data.sources.map((s) => make('li', {}, s))),
  );
}

async function sewing() {
  const { ok, data } = await ask('sewing');
  const box = $('sew-list');
  if (!ok) { box.textContent = data.says; return; }
  const list = make('ol', { className: 'ticks' });
  for (const step of data) {
    const item = make('li', { className: step.ticked ? 'done' : '' });
    const tick = make('input', { type: 'checkbox', checked: step.ticked });
    tick.addEventListener('change', () => { item.classList.toggle('done', tick.checked); send('tick', { key: step.key, done: tick.checked }); });
    item.append(make('label', {}, tick, ` ${step.title}`), ...step.sentences.map((s) => make('p', {}, s)));
    if (step.caution) item.append(make('p', { className: 'wrong' }, step.caution));
    list.append(item);
  }
  box.replaceChildren(make('h3', {}, 'Sewing steps'), list);
}
