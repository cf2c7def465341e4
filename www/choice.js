/**
 * What the visitor chose, and what the page asks for where nothing was chosen: the attributes that
 * make up a question, and the address that carries them.
 */

import { pairsIn } from './beside.js';

/**
 * @typedef {import('./jobtorque.js').Question} QuestionAsked
 * @typedef {import('./jobtorque.js').Narrowing} NarrowingAsked
 * @typedef {import('./jobtorque.js').Problem} FaultyPart
 * @typedef {string | number | boolean | import('./jobtorque.js').PairIds[] | null} Read
 */

/** What is read from the text of an attribute: the text, a number, a whole number, yes, a word of a list, pairs. */
const asText = (/** @type {string} */ text) => text;
// What is no number is below all limits, and what is no edition's number is none's: the core says what is wrong.
const asNumber = (/** @type {string} */ text) => {
  const number = Number(text.replace(',', '.'));
  return Number.isFinite(number) ? number : -1;
};
const asWhole = (/** @type {string} */ text) => (/^\d{1,9}$/.test(text) ? Number(text) : 0);
const asYes = (/** @type {string} */ text) => text === 'yes' || null;
const asWord =
  (/** @type {string[]} */ ...words) =>
  (/** @type {string} */ text) =>
    words.includes(text) ? text : null;

/**
 * Every attribute that makes up the question and the address: its name, the part of the question it
 * gives, and how it is read.
 * @type {[string, keyof QuestionAsked | `narrow/${keyof NarrowingAsked}`, (text: string) => Read][]}
 */
const PARTS = [
  ['tool', 'tool', asText],
  ['pack', 'pack', asText],
  ['beside', 'beside', pairsIn],
  ['job', 'job', asText],
  ['direction', 'direction', asWord('loosen', 'tighten')],
  ['condition', 'condition', asNumber],
  ['loss', 'loss_percent', asNumber],
  ['within', 'within_s', asNumber],
  ['score', 'score', asWord('typical', 'best-of-three')],
  ['setup', 'setup', asText],
  ['rig', 'rig', asText],
  ['edition', 'edition', asWhole],
  ['units', 'units', asWord('n-m', 'lbf-ft')],
  ['find', 'narrow/find', asText],
  ['size', 'narrow/size', asWord('small', 'medium', 'large')],
  ['mount', 'narrow/mount', asText],
  ['sold', 'narrow/still_sold', asYes],
  ['longest', 'narrow/longest_mm', asNumber],
  ['heaviest', 'narrow/heaviest_kg', asNumber],
  ['dearest', 'narrow/dearest', asNumber],
  ['reaching', 'narrow/reaching', asYes],
  ['currency', 'currency', asText],
  ['sort', 'sort', asText],
  ['order', 'order', asWord('lightest', 'shortest', 'least-costly', 'quickest')],
  ['stated', 'stated', asYes],
];

/** Attributes with a text that are no part of the question. */
const TEXTS = ['src'];

/** Attributes that are there or not. */
const SWITCHES = ['compact', 'fragment'];

/** The names of all attributes. */
export const attributes = [...PARTS.map(([name]) => name), ...TEXTS, ...SWITCHES];

/** What an element asks for: what its visitor chose goes before its attributes. */
export class Choices {
  /** @type {Map<string, string | null>} */
  #chosen = new Map();
  #element;

  /** @param {HTMLElement} element */
  constructor(element) {
    this.#element = element;
  }

  /** @param {Record<string, string | null>} choice by the names of attributes; `null` for nothing */
  choose(choice) {
    for (const [name, value] of Object.entries(choice)) this.#chosen.set(name, value);
  }

  /**
   * An attribute was set anew: it counts.
   * @param {string} name
   */
  yield(name) {
    this.#chosen.delete(name);
  }

  /**
   * The visitor's choice, else the attribute.
   * @param {string} name
   */
  #value(name) {
    const chosen = this.#chosen.get(name);
    return chosen === undefined ? this.#element.getAttribute(name) : chosen;
  }

  /**
   * The question as it stands.
   * @param {string} job what is asked where no job is given
   * @returns {QuestionAsked}
   */
  question(job) {
    /** @type {Record<string, Read | Record<string, Read> | null>} */
    const question = {};
    /** @type {Record<string, Read>} */
    const narrow = {};
    for (const [name, part, read] of PARTS) {
      const text = this.#value(name);
      const [whole = '', within] = part.split('/');
      const value = text ? read(text) : null;
      if (within === undefined) question[whole] = value;
      else if (value !== null) narrow[within] = value;
    }
    if (Object.keys(narrow).length > 0) question.narrow = narrow;
    return { ...question, job: this.#value('job') ?? job };
  }

  /**
   * Leaves out the part of the question that a problem names.
   * @param {FaultyPart} problem
   * @returns {Record<string, string> | null} the choice that was left out, if there was one
   */
  forget(problem) {
    const [name = ''] = PARTS.find(([, part]) => part === problem.pointer.slice(1)) ?? [];
    const text = name && this.#value(name);
    if (typeof text !== 'string' || !name) return null;
    this.#chosen.set(name, null);
    return { [name]: text };
  }

  /**
   * The question as attributes, in their order; `null` for nothing.
   * @returns {[string, string | null][]}
   */
  get all() {
    return PARTS.map(([name]) => [name, this.#value(name) || null]);
  }

  /** The question as the fragment of an address. */
  get fragment() {
    const parts = new URLSearchParams();
    for (const [name, value] of this.all) if (value) parts.set(name, value);
    return parts.toString();
  }

  /** Takes what the address of the page asks for: that alone, or the attributes if it asks for nothing. */
  readAddress() {
    this.#chosen.clear();
    const parts = new URLSearchParams(location.hash.slice(1));
    if (!PARTS.some(([name]) => parts.has(name))) return;
    for (const [name] of PARTS) this.#chosen.set(name, parts.get(name));
  }

  /** Writes the question to the address of the page. */
  writeAddress() {
    const [page] = location.href.split('#');
    try {
      history.replaceState(history.state, '', this.fragment ? `#${this.fragment}` : page);
    } catch {
      // A frame without an origin has no address to write.
    }
  }
}

/**
 * Gives a class of elements a property for every attribute.
 * @param {typeof HTMLElement} type
 */
export function reflect(type) {
  for (const name of attributes) {
    const isSwitch = SWITCHES.includes(name);
    Object.defineProperty(type.prototype, name, {
      configurable: true,
      enumerable: true,
      /** @this {HTMLElement} */
      get() {
        return isSwitch ? this.hasAttribute(name) : this.getAttribute(name);
      },
      /** @this {HTMLElement} @param {unknown} value */
      set(value) {
        if (isSwitch) this.toggleAttribute(name, Boolean(value));
        else if (value === null || value === undefined) this.removeAttribute(name);
        else this.setAttribute(name, String(value));
      },
    });
  }
}
