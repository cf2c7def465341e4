/**
 * A place and its interval as a mark: a dot on a line with two ends, with the words for those who do not see it.
 */

import { made } from './dom.js';

/** @typedef {import('./jobtorque.js').Mark} Mark */

const SVG = 'http://www.w3.org/2000/svg';

/** Size of a mark and of its dot, in its own units. */
const WIDTH = 72;
const HEIGHT = 10;
const RADIUS = 2.5;

/**
 * The place, its mark, and both in words.
 * @param {Mark} mark
 * @returns {Element[]}
 */
export function markOf(mark) {
  const seen = made('span', '', mark.place);
  seen.setAttribute('aria-hidden', 'true');
  const across = (/** @type {number} */ part) => RADIUS + part * (WIDTH - 2 * RADIUS);
  const drawing = shape('svg', { class: 'mark', viewBox: `0 0 ${WIDTH} ${HEIGHT}`, 'aria-hidden': 'true' });
  const middle = HEIGHT / 2;
  drawing.append(
    shape('line', { class: 'scale', x1: 0, y1: middle, x2: WIDTH, y2: middle }),
    shape('circle', { cx: across(mark.at), cy: middle, r: RADIUS }),
  );
  if (mark.low < mark.high) {
    const [low, high] = [across(mark.low), across(mark.high)];
    drawing.append(shape('path', { d: `M${low} 1V9M${low} ${middle}H${high}M${high} 1V9` }));
  }
  return [seen, drawing, made('span', 'unseen', mark.text)];
}

/**
 * An element of a drawing.
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 */
function shape(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  return element;
}
