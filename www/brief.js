/**
 * The answer in one line, in view while the answer itself is not.
 */

import { joined, made, pressable } from './dom.js';

/** The line. It stands at an edge of what is visible of the element, and moves nothing. */
export class BriefLine {
  element = made('div', 'brief');
  #sheet;
  #headline;
  #text = made('p', '');
  #isSeen = true;
  #observer;

  /**
   * @param {HTMLElement} sheet
   * @param {HTMLElement} headline what it stands for
   * @param {string} show the word that leads there
   */
  constructor(sheet, headline, show) {
    this.#sheet = sheet;
    this.#headline = headline;
    headline.tabIndex = -1;
    this.element.hidden = true;
    const row = made('div', '');
    row.append(
      this.#text,
      pressable('onwards', show, () => this.#lead()),
    );
    this.element.append(row);
    sheet.append(this.element);
    sheet.addEventListener('focusin', ({ target }) => this.#uncover(target));
    this.#observer = new IntersectionObserver((entries) => {
      this.#isSeen = entries.at(-1)?.isIntersecting ?? true;
      if (this.#isSeen) this.element.hidden = true;
    });
    this.#observer.observe(headline);
  }

  disconnect() {
    this.#observer.disconnect();
  }

  /** @param {string[]} sentences */
  say(sentences) {
    const parts = sentences.flatMap((text) => [made('span', '', joined(text)), ' ']);
    this.#text.replaceChildren(...parts);
  }

  /**
   * Stands there if the answer cannot be seen: below, or above where something was pressed in the lower half.
   * @param {number} top where what was pressed stands in the window, in pixels
   */
  offer(top) {
    if (this.#isSeen || !this.element.hidden) return;
    const isAbove = top > innerHeight / 2;
    this.element.classList.toggle('above', isAbove);
    if (isAbove) this.#sheet.prepend(this.element);
    else this.#sheet.append(this.element);
    this.#sheet.classList.add('briefed');
    this.element.hidden = false;
  }

  #lead() {
    this.#headline.scrollIntoView({ block: 'center', behavior: 'instant' });
    this.#headline.focus({ preventScroll: true });
  }

  /**
   * What has the focus is not covered.
   * @param {EventTarget | null} target
   */
  #uncover(target) {
    if (this.element.hidden || !(target instanceof Element) || this.element.contains(target)) return;
    const [line, own] = [this.element.firstElementChild, target].map((one) => one?.getBoundingClientRect());
    if (!line || !own || own.bottom < line.top || own.top > line.bottom) return;
    if (target.matches(':focus-visible')) target.scrollIntoView({ block: 'center', behavior: 'instant' });
  }
}
