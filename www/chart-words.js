/**
 * The words of a chart as elements, and which of them stand in it and below it.
 */

import { letterOf } from './chart-cursor.js';
import { made } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').Label} PlacedLabel
 */

/**
 * How words look: as their curve, a tick, the needed line, or what is not drawn.
 * @typedef {import('./jobtorque.js').Kind | 'tick' | 'needed' | 'none'} WordLook
 */

/**
 * What stands below the drawing.
 * @typedef {object} KeyEntry
 * @property {string} text
 * @property {WordLook} look
 * @property {import('./jobtorque.js').NamedPair} [pair]
 * @property {string | null} [takeOff] the words of the control that takes the pair away
 */

/**
 * A pair with a curve, and the mark of that.
 * @typedef {{ ids: import('./jobtorque.js').PairIds, kind: import('./jobtorque.js').Kind, letter: string }} DrawnPair
 */

/**
 * Whether a chart has the curve of one pair alone, which the question beside it names.
 * @param {import('./jobtorque.js').Question} question
 */
export function isNamed({ tool, pack, beside }) {
  return tool != null && pack != null && !beside?.length;
}

/**
 * The words of a chart in their places, and those that stand below it.
 * @param {import('./jobtorque.js').View} view
 * @param {boolean} named whether what stands beside it names its only curve
 */
export function lettered(view, named) {
  const ticks = [...view.time_ticks, ...view.torque_ticks].map((tick) => tick.label);
  /** @type {{ label: PlacedLabel, look: WordLook }[]} */
  const words = [view.time_unit, view.torque_unit, ...ticks].map((label) => ({ label, look: 'tick' }));
  words.push({ label: view.needed, look: 'needed' });
  /** @type {KeyEntry[]} */
  const key = [];
  for (const curve of view.curves) {
    const { kind, pair, take_off, label, crossing } = curve;
    const text = `${letterOf(curve)} ${pair.name}`;
    if (label) words.push({ label: { ...label, text }, look: kind });
    else if (!named) key.push({ text, look: kind, pair, takeOff: take_off });
    if (crossing?.label) words.push({ label: crossing.label, look: kind });
  }
  const { band } = view;
  if (band?.label) words.push({ label: band.label, look: 'full' });
  else if (band) key.push({ text: band.text, look: 'full' });
  for (const { pair, text, take_off } of view.without_runs) {
    key.push({ text, look: 'none', pair, takeOff: take_off });
  }
  return { words, key };
}

/**
 * A line of text in its place: as a share of the drawing, since paper may make it narrower.
 * @param {{ width_px: number, height_px: number }} frame
 * @param {PlacedLabel} label
 * @param {string} className
 */
export function wordAt({ width_px, height_px }, { x_px, y_px, anchor, text }, className) {
  const element = made('span', `${className} ${anchor}`, text);
  element.style.left = `${(100 * x_px) / width_px}%`;
  element.style.top = `${(100 * y_px) / height_px}%`;
  return element;
}
