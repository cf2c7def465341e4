/**
 * What stands in an element before there is an answer, a finished answer or what its author put there,
 * and what is said beside it.
 */

import { made } from './dom.js';

/**
 * The line of a finished answer that says what is wrong.
 * @param {HTMLElement} element
 */
const lineOf = (element) => element.shadowRoot?.querySelector('[data-baked] .fault');

/**
 * Whether anything stands there.
 * @param {HTMLElement} element
 */
export function hasInside(element) {
  return Boolean(lineOf(element) || element.childElementCount || element.textContent?.trim());
}

/**
 * Says why nothing is answered: in the finished answer, or above what stands inside.
 * @param {HTMLElement} element
 * @param {string} text
 * @param {HTMLElement | null} button
 * @param {() => ShadowRoot} emptied
 * @returns {ShadowRoot | null} where it is said, unless in a finished answer
 */
export function tell(element, text, button, emptied) {
  const line = lineOf(element);
  if (line instanceof HTMLElement) {
    line.hidden = false;
    line.replaceChildren(text, ...(button ? [' ', button] : []));
    return null;
  }
  const root = emptied();
  root.append(made('p', 'fault', text), ...(button ? [button] : []), made('slot', ''));
  return root;
}

/**
 * Why nothing was loaded, and of which day what stands inside is.
 * @param {HTMLElement} element
 * @param {string} key
 * @param {Record<string, string>} texts
 */
export function unloaded(element, key, texts) {
  const old = element.querySelector('[data-unloaded]');
  const ofDay = old instanceof HTMLElement ? old.dataset.unloaded : undefined;
  const why = texts[key];
  if (key === 'error.no_results') return ofDay ?? why;
  return [why, ofDay].filter(Boolean).join(' ') || texts['error.no_results'];
}
