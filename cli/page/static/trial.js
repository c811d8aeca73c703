// What the trial shows: a sign picked by its drawing, the change shown, and kept only when asked.
import { make, send } from './net.js';
import { big } from './big.js';

const $ = (id) => document.getElementById(id);

export function startTrial(refresh) {
  let sign = null;

  const asked = (keep) => ({
    sign: sign.key,
    amount: $('amount').value,
    side: document.querySelector('#side input:checked')?.value ?? '',
    keep,
  });

  async function show(keep) {
    const { ok, data } = await send('see', asked(keep));
    const says = $('sign-says');
    $('keep-change').hidden = !ok || keep || !data.allowed;
    if (!ok) { says.textContent = data.says; return; }
    says.replaceChildren(
      make('p', {}, keep ? 'Kept in the file.' : data.rows.length ? 'What would change:' : 'No finished measurement changes; see the drawing.'),
      table(['figure', 'before', 'after', 'change'], data.rows),
      ...data.warnings.map((w) => make('p', { className: 'wrong' }, w)),
    );
    big('before and after', [inert(data.drawing, 'the pattern before and after the change')]);
    if (keep) refresh();
  }

  for (const button of document.querySelectorAll('.pick')) {
    button.addEventListener('click', () => {
      sign = JSON.parse(button.dataset.sign);
      for (const other of document.querySelectorAll('.pick')) other.setAttribute('aria-pressed', other === button);
      $('sign').hidden = false;
      $('sign-title').textContent = sign.title;
      $('sign-means').textContent = `${sign.look} ${sign.means} ${sign.change}`;
      $('sign-form').hidden = !sign.alteration;
      $('amount').value = sign.start;
      $('side').hidden = sign.legs === 'both';
      const [both, left] = $('side').querySelectorAll('input');
      both.disabled = sign.legs === 'one';
      (sign.legs === 'one' ? left : both).checked = true;
      $('keep-change').hidden = true;
      $('sign-says').replaceChildren();
      $('sign').scrollIntoView({ block: 'nearest' });
      $('sign-title').tabIndex = -1;
      $('sign-title').focus();
    });
  }
  $('sign-form').addEventListener('submit', (e) => { e.preventDefault(); show(false); });
  $('keep-change').addEventListener('click', () => show(true));
  $('take-off').addEventListener('click', async () => {
    const { ok, data } = await send('take_off');
    if (ok) refresh(); else $('altered').textContent = data.says;
  });

  return {
    altered(list) {
      $('altered').textContent = list.length ? `In the file: ${list.join(', ')}.` : '';
      $('take-off').hidden = !list.length;
    },
  };
}

export function table(head, rows) {
  if (!rows.length) return '';
  return make('table', {},
    make('thead', {}, make('tr', {}, ...head.map((h) => make('th', { scope: 'col' }, h)))),
    make('tbody', {}, ...rows.map((r) => make('tr', {}, ...r.map((c, i) => make(i ? 'td' : 'th', i ? {} : { scope: 'row' }, c))))));
}

// A drawing that the program made, as an image: nothing in it can act.
export function inert(svg, alt) {
  const image = make('img', { alt });
  image.src = URL.createObjectURL(new Blob([withNamespace(svg)], { type: 'image/svg+xml' }));
  image.addEventListener('load', () => URL.revokeObjectURL(image.src));
  return image;
}

function withNamespace(svg) {
  return svg.includes('xmlns="http://www.w3.org/2000/svg"') ? svg : svg.replace('<svg', '<svg xmlns="http://www.w3.org/2000/svg"');
}
