/**
 * What was pressed keeps its place on the screen while what stands above it changes.
 */

/**
 * Something to hold, and how far from the top of the window it was.
 * @typedef {{ find: () => Element | null, top: number }} Hold
 */

/** Nothing is held where the answer follows below, or where a line is dragged. */
const FREE = '.top, .chart';

/** What is held of a sheet. */
export class Held {
  #sheet;
  /** @type {Element | null} */
  #pressed = null;
  /** The first of these that is still there is held. @type {Hold[]} */
  #holds = [];

  /** @param {HTMLElement} sheet */
  constructor(sheet) {
    this.#sheet = sheet;
    for (const type of ['click', 'change']) {
      sheet.addEventListener(type, (event) => this.#note(event), true);
    }
    for (const type of ['wheel', 'touchmove']) {
      sheet.addEventListener(type, () => this.release(), { passive: true });
    }
  }

  /** @param {Event} event */
  #note(event) {
    const [inside] = event.composedPath();
    this.#pressed = inside instanceof Element && !inside.closest(FREE) ? inside : null;
  }

  /**
   * Before a change: notes where what was pressed stands, and the pairs around it in case it goes.
   * @returns {number} how far from the top of the window that is in pixels; 0 where nothing is held
   */
  hold() {
    const pressed = this.#pressed;
    this.release();
    if (!pressed?.isConnected) return 0;
    const top = topOf(pressed);
    const section = pressed.closest('section');
    const rows = [...(section?.querySelectorAll('[data-pair]') ?? [])].filter(isShown).map((row) => {
      const name = `[data-pair="${CSS.escape(row.getAttribute('data-pair') ?? '')}"]`;
      return { find: () => section?.querySelector(name) ?? null, top: topOf(row) };
    });
    const own = pressed.closest('[data-pair]');
    const from = own ? topOf(own) : top;
    rows.sort((a, b) => Math.abs(a.top - from) - Math.abs(b.top - from));
    const itself = { find: () => (pressed.isConnected ? pressed : null), top };
    this.#holds = [itself, ...rows, { find: () => section, top: section ? topOf(section) : 0 }];
    return top;
  }

  /** After a change: scrolls so that what is held stands where it stood. */
  keep() {
    for (const { find, top } of this.#holds) {
      const found = find();
      if (!found || !isShown(found)) continue;
      const by = topOf(found) - top;
      if (Math.abs(by) >= 1) scrollerOf(this.#sheet).scrollBy({ top: by, behavior: 'instant' });
      return;
    }
  }

  /** Holds nothing any more. */
  release() {
    this.#holds = [];
    this.#pressed = null;
  }
}

/** @param {Element} element */
const topOf = (element) => element.getBoundingClientRect().top;

/** @param {Element} element */
const isShown = (element) => element.getClientRects().length > 0;

/**
 * What scrolls an element: a box around it, or the page.
 * @param {Element} element
 */
function scrollerOf(element) {
  /** @type {Element | null} */
  let at = element;
  while (at) {
    const scrolls = /auto|scroll/.test(getComputedStyle(at).overflowY);
    if (scrolls && at.scrollHeight > at.clientHeight) return at;
    const root = at.getRootNode();
    at = at.parentElement ?? (root instanceof ShadowRoot ? root.host : null);
  }
  return document.scrollingElement ?? document.documentElement;
}
