// Talking to the page's own server: paths are relative to the page, which holds the secret.

export const units = document.querySelector('#units input:checked')?.value ?? 'cm';

// Tells this window from others, so that only its own older requests are let go.
const own = crypto.randomUUID?.() ?? String(Math.random());

const url = (path) => new URL(path, document.baseURI);

export async function ask(path, values = {}) {
  const there = url(path);
  there.search = new URLSearchParams({ units, ...values });
  return answer(fetch(there));
}

export async function send(path, body = {}) {
  return answer(fetch(url(path), {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ units, window: own, ...body }),
  }));
}

const GONE = 'The page’s server has stopped. All that was kept is in the file; start the page again.';

async function answer(asked) {
  let response;
  try { response = await asked; } catch { return { ok: false, status: 0, data: { says: GONE } }; }
  const kind = response.headers.get('content-type') ?? '';
  const data = kind.includes('json') ? await response.json() : { says: await response.text() };
  return { ok: response.ok, status: response.status, data };
}

export const events = () => new EventSource(url('events'));

// What comes as it is found; the line is closed by who asked.
export function stream(path) {
  const there = url(path);
  there.search = new URLSearchParams({ units });
  return new EventSource(there);
}

// One piece of work at a time; of what comes meanwhile only the newest is done.
export class Line {
  #work; #waiting = null; #busy = false;
  constructor(work) { this.#work = work; }
  push(value) { this.#waiting = { value }; if (!this.#busy) this.#run(); }
  drop() { this.#waiting = null; }
  get idle() { return !this.#busy; }
  async #run() {
    this.#busy = true;
    try {
      while (this.#waiting) {
        const { value } = this.#waiting;
        this.#waiting = null;
        await this.#work(value);
      }
    } catch {
      // The server has gone; the next change says so.
    } finally { this.#busy = false; }
  }
}

export function make(tag, values = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(values)) {
    if (name in element) element[name] = value; else element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}
