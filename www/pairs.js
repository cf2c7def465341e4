/**
 * What lists and tables of pairs have in common.
 */

import { hasPair, withPair, withoutPair } from './overlay.js';
import { pressable, unbroken } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').PairIds} OnePair
 * @typedef {import('./jobtorque.js').Question} OpenQuestion
 * @typedef {(choice: import('./dom.js').Choice) => void} Choose
 */

/**
 * Fills a place anew; the button that has the focus keeps it, or the one that says the same has it, or
 * the one in its stead.
 * @param {Element} place
 * @param {(Node | string)[]} parts
 */
export function refill(place, parts) {
  const root = place.getRootNode();
  const focused = root instanceof ShadowRoot ? root.activeElement : null;
  const at = [...place.querySelectorAll('button')].findIndex((button) => button === focused);
  place.replaceChildren(...parts);
  if (at < 0) return;
  const buttons = [...place.querySelectorAll('button')];
  const again =
    buttons.find((button) => button === focused) ??
    buttons.find((button) => saysOf(button) === saysOf(focused)) ??
    buttons[at];
  again?.focus({ preventScroll: true });
}

/**
 * What a button says: what it does, and to what.
 * @param {Element | null} button
 */
function saysOf(button) {
  const told = ['aria-label', 'aria-description'].map((name) => button?.getAttribute(name));
  return [button?.className, button?.textContent, ...told].join(' ');
}

/**
 * A pair's name, in which what numbers a tool or a pack stays with its name.
 * @param {string} text
 */
export const pairName = (text) => unbroken(text, /(\S+ \d\S*)/);

/**
 * What finds the row of a pair again.
 * @param {OnePair} pair
 */
export const pairKey = ({ tool, pack }) => `${tool}/${pack}`;

/**
 * A button that asks for a pair.
 * @param {string} text
 * @param {OnePair} pair
 * @param {Choose} chosen
 */
export function pairButton(text, { tool, pack }, chosen) {
  const button = pressable('pair', '', () => chosen({ tool, pack }));
  button.append(...pairName(text));
  return button;
}

/**
 * A switch that lays a pair over the chart, or takes it away again; nothing where it is the pair
 * asked for, or none is.
 * @param {string} text
 * @param {string} name of the pair
 * @param {OnePair} pair
 * @param {OpenQuestion} question
 * @param {Choose} chosen
 */
export function overlay(text, name, { tool, pack }, question, chosen) {
  const single = question.tool && question.pack;
  if (!single || (question.tool === tool && question.pack === pack)) return [];
  const pairs = question.beside ?? [];
  const lies = hasPair(pairs, { tool, pack });
  const change = lies ? withoutPair : withPair;
  const button = pressable('lay', text, () => chosen(change(pairs, { tool, pack })));
  button.setAttribute('aria-pressed', String(lies));
  button.setAttribute('aria-description', name);
  return [button];
}
