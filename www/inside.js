/**
 * What stands in an element before there is an answer, a finished answer or what its author put there;
 * what is said beside it; and the shadow root that takes its place.
 */

import { made } from './dom.js';
import { sharedSheet } from './stylesheet.js';

/** The inside of one element. */
export class Inside {
  #element;
  /** The shadow root, once it was emptied. @type {ShadowRoot | null} */
  root = null;

  /** @param {HTMLElement} element */
  constructor(element) {
    this.#element = element;
  }

  /** The line of a finished answer that says what is wrong. */
  get #line() {
    return this.#element.shadowRoot?.querySelector('[data-baked] .fault');
  }

  /** Whether anything stands there. */
  get isThere() {
    const { childElementCount, textContent } = this.#element;
    return Boolean(this.#line || childElementCount || textContent?.trim());
  }

  /**
   * Says why nothing is answered: in the finished answer, or above what stands inside.
   * @param {string} text
   * @param {HTMLElement | null} button
   * @returns {ShadowRoot | null} where it is said, unless in a finished answer
   */
  tell(text, button) {
    const line = this.#line;
    if (line instanceof HTMLElement) {
      line.hidden = false;
      line.replaceChildren(text, ...(button ? [' ', button] : []));
      return null;
    }
    const root = this.emptied();
    root.append(made('p', 'fault', text), ...(button ? [button] : []), made('slot', ''));
    return root;
  }

  /** The shadow root with nothing in it but the style. A copy of a page may bring one along. */
  emptied() {
    this.root ??= this.#element.attachShadow({ mode: 'open' });
    this.root.adoptedStyleSheets = [sharedSheet()];
    this.root.replaceChildren();
    return this.root;
  }
}
