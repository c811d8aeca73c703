// The drawings: named paths that stay and whose data change, so that only what moved is redrawn.

const SVG = 'http://www.w3.org/2000/svg';
const kept = new WeakMap();

export function svgElement(tag, values = {}) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(values)) element.setAttribute(name, value);
  return element;
}

// Puts [name, data, class?] into a group; elements of names that are gone go too.
export function paths(group, list) {
  const known = kept.get(group) ?? new Map();
  const seen = new Set();
  for (const [name, data, kind] of list) {
    seen.add(name);
    let entry = known.get(name);
    if (!entry) {
      entry = { element: svgElement('path'), data: '', kind: '' };
      known.set(name, entry);
      group.append(entry.element);
    }
    if (entry.data !== data) { entry.element.setAttribute('d', data); entry.data = data; }
    if (kind !== undefined && entry.kind !== kind) { entry.element.setAttribute('class', kind); entry.kind = kind; }
  }
  for (const [name, entry] of known) if (!seen.has(name)) { entry.element.remove(); known.delete(name); }
  kept.set(group, known);
  return known;
}

export function words(group, list, size) {
  const known = kept.get(group) ?? new Map();
  const seen = new Set();
  for (const [name, text, x, y] of list) {
    seen.add(name);
    let element = known.get(name);
    if (!element) { element = svgElement('text'); known.set(name, element); group.append(element); }
    if (element.textContent !== text) element.textContent = text;
    element.setAttribute('x', x); element.setAttribute('y', y); element.setAttribute('font-size', size);
  }
  for (const [name, element] of known) if (!seen.has(name)) { element.remove(); known.delete(name); }
  kept.set(group, known);
}

export function viewBox(svg, [wide, high]) {
  const box = `0 0 ${wide} ${high}`;
  if (svg.getAttribute('viewBox') !== box) svg.setAttribute('viewBox', box);
  return { wide, high };
}

// How the points of a drawing lie on its sheet, px: asked once before anything is moved, because
// asking after moving makes the browser lay out the page again.
export function sheetOf(svg, sheet) {
  const box = svg.viewBox.baseVal;
  const at = svg.getBoundingClientRect(), zero = sheet.getBoundingClientRect();
  const scale = Math.min(at.width / box.width, at.height / box.height) || 1;
  const left = at.left - zero.left + (at.width - scale * box.width) / 2;
  const top = at.top - zero.top + (at.height - scale * box.height) / 2;
  return { scale, wide: zero.width, place: (x, y) => ({ x: left + x * scale, y: top + y * scale }) };
}

export function putAt(element, { x, y }) {
  element.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
}
