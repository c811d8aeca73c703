// A photograph of the print, under the pieces at its own size: turned so that its selvedge lies where
// the cloth's does, straightened, and seen from the side that is up.
import { svgElement } from './drawing.js';
import { units } from './net.js';

const $ = (id) => document.getElementById(id);

// Which edge of the photograph the selvedge is at: by how much it is turned so that it is the right
// one. The pieces stand upright beside it; on the cloth that lies along the table it is the lower.
const TURN = { right: 0, top: 90, left: 180, bottom: 270 };

export class Photo {
  #source = null; #size = null; #sheets = [];

  constructor() {
    $('photo').addEventListener('change', () => this.#choose());
    for (const id of ['photo-width', 'photo-edge', 'photo-side']) $(id).addEventListener('change', () => this.#put());
    $('photo-turn').addEventListener('input', () => this.#put());
  }

  // A layer to lie in: under upright pieces, or turned a quarter, along the cloth.
  under(svg, layer, turned = 0) {
    const sheet = { svg, layer, turned, id: `print-${this.#sheets.length}` };
    this.#sheets.push(sheet);
    layer.addEventListener('sized', (e) => { sheet.area = e.detail; this.#on(sheet); });
  }

  async #choose() {
    const input = $('photo');
    if (this.#source) URL.revokeObjectURL(this.#source);
    this.#source = input.files.length ? URL.createObjectURL(input.files[0]) : null;
    this.#size = null;
    $('photo-says').textContent = '';
    if (this.#source) {
      const picture = new Image();
      picture.src = this.#source;
      try {
        await picture.decode();
        this.#size = [picture.naturalWidth, picture.naturalHeight];
      } catch { $('photo-says').textContent = 'This file is no photograph that the browser can show; choose another.'; }
    }
    this.#put();
  }

  #put() {
    const degrees = Number($('photo-turn').value);
    $('photo-turn').setAttribute('aria-valuetext', `turned by ${degrees}°`);
    $('photo-turned').textContent = `${degrees}°`;
    for (const sheet of this.#sheets) this.#on(sheet);
  }

  #on({ svg, layer, turned, id, area }) {
    const mm = Number.parseFloat($('photo-width').value.replace(',', '.')) * (units === 'in' ? 25.4 : 10);
    svg.classList.toggle('printed', Boolean(this.#size));
    if (!this.#size) { layer.replaceChildren(); return; }
    if (!(mm > 10)) return;
    const high = (mm * this.#size[1]) / this.#size[0];
    const angle = TURN[$('photo-edge').value] + Number($('photo-turn').value) + turned;
    const over = $('photo-side').value === 'wrong' ? ' scale(-1 1)' : '';
    const pattern = svgElement('pattern', { id, width: mm, height: high, patternUnits: 'userSpaceOnUse', patternTransform: `rotate(${angle})${over}` });
    pattern.append(svgElement('image', { href: this.#source, width: mm, height: high, preserveAspectRatio: 'none' }));
    const defs = svgElement('defs');
    defs.append(pattern);
    const whole = area ? { width: area.wide, height: area.high } : { width: '100%', height: '100%' };
    layer.replaceChildren(defs, svgElement('rect', { ...whole, fill: `url(#${id})`, opacity: 0.8 }));
  }
}
