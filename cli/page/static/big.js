// A drawing that wants all the room: it takes the place of pieces and figure until they are chosen.

const $ = (id) => document.getElementById(id);

export function big(name, images) {
  $('big').replaceChildren(...images);
  $('big-name').textContent = name;
  $('big-choice').hidden = false;
  const choice = $('big-choice').querySelector('input');
  choice.checked = true;
  choice.dispatchEvent(new Event('change', { bubbles: true }));
  if (matchMedia('(max-width: 68rem)').matches) $('view-title').scrollIntoView();
}
