/**
 * Why nothing is answered, in words for visitors.
 */

import { LoadFault, isTrap } from './engine.js';
import { isRefused, problemOf } from './problems.js';

/**
 * Whether loading may succeed another time.
 * @param {unknown} fault
 */
export const isLate = (fault) =>
  fault instanceof LoadFault && ['error.no_results', 'error.silent'].includes(fault.key);

/**
 * Why nothing is answered; nothing where it is the program's own fault.
 * @param {HTMLElement} element
 * @param {unknown} fault
 * @param {Record<string, string>} texts
 * @returns {string | undefined}
 */
export function whyNothing(element, fault, texts) {
  if (isRefused(fault)) return fault.message;
  const loading = fault instanceof LoadFault ? fault : null;
  if (loading?.key === 'error.other_version') return texts[loading.key]?.replace('{file}', loading.file);
  if (loading && loading.key !== 'error.live_part') return unloaded(element, loading.key, texts);
  if (!loading && !isTrap(fault)) return undefined;
  const inside = element.querySelector('table') ? 'error.live_part' : 'error.live_part_brief';
  return texts[element.childElementCount === 0 ? 'error.no_results' : inside];
}

/**
 * What keeps an element without any answer, where the whole had to give the first one.
 * @param {unknown} fault of this script or of the other
 */
export function withoutTheWhole(fault) {
  const { key, file } = /** @type {Partial<LoadFault>} */ (Object(fault));
  return isRefused(fault) ? fault : new LoadFault(key ?? 'error.no_results', fault, file);
}

/**
 * Why only the first part answers.
 * @param {unknown} fault of this script or of the other
 * @param {Record<string, string>} texts
 */
export function whyNotTheWhole(fault, texts) {
  const { key, file } = /** @type {Partial<LoadFault>} */ (Object(fault));
  const other = key === 'error.other_version' ? texts[key]?.replace('{file}', file ?? '') : undefined;
  return problemOf(other ?? texts['error.whole'] ?? '');
}

/**
 * Why nothing was loaded, and of which day what stands inside is.
 * @param {HTMLElement} element
 * @param {string} key
 * @param {Record<string, string>} texts
 */
function unloaded(element, key, texts) {
  const old = element.querySelector('[data-unloaded]');
  const ofDay = old instanceof HTMLElement ? old.dataset.unloaded : undefined;
  const why = texts[key];
  if (key === 'error.no_results') return ofDay ?? why;
  return [why, ofDay].filter(Boolean).join(' ') || texts['error.no_results'];
}
