/** What the module throws that is no fault of its own: problems with a question or a dataset. */

/** @typedef {import('./jobtorque.js').Problem} Problem */

/**
 * Whether something thrown is a problem with a question.
 * @param {unknown} fault
 * @returns {fault is Problem}
 */
export function isProblem(fault) {
  return holdsOwn(fault, 'pointer', 'message');
}

/**
 * Whether something thrown says why a dataset is not shown.
 * @param {unknown} fault
 * @returns {fault is { message: string, problems: Problem[] }}
 */
export function isRefused(fault) {
  return holdsOwn(fault, 'problems', 'message');
}

/**
 * What several problems say.
 * @param {Problem[]} problems
 */
export const sentencesOf = (problems) => problems.map(({ message }) => message).join(' ');

/**
 * A problem that is of no part of the question.
 * @param {string} message
 * @returns {Problem}
 */
export function problemOf(message) {
  return {
    pointer: '',
    line: null,
    column: null,
    found: '',
    wanted: '',
    hint: null,
    message,
    offers: [],
  };
}

/**
 * Whether something is an object with members of these names, which are its own.
 * @param {unknown} thing
 * @param {...string} names
 */
function holdsOwn(thing, ...names) {
  return typeof thing === 'object' && thing !== null && names.every((name) => Object.hasOwn(thing, name));
}
