/**
 * What the visitor chose, and what the page asks for where nothing was chosen: the attributes that
 * make up a question, and the address that carries them.
 */

import { pairsIn } from './overlay.js';

/**
 * @typedef {import('./jobtorque.js').Question} QuestionAsked
 * @typedef {import('./jobtorque.js').Narrowing} NarrowingAsked
 * @typedef {import('./jobtorque.js').Problem} FaultyPart
 * @typedef {string | number | boolean | import('./jobtorque.js').PairIds[] | null} Read
 */

/** What is read from the text of an attribute: the text, a number, a whole number, yes, pairs. */
const asText = (/** @type {string} */ text) => text;
// What is no number is below all limits, and what is no edition's number is none's: the core says what is wrong.
const asNumber = (/** @type {string} */ text) => {
  const number = Number(text.replace(',', '.'));
  return Number.isFinite(number) ? number : -1;
};
const asCondition = (/** @type {string} */ text) => (/^checked/.test(text) ? text : asNumber(text));
const asWhole = (/** @type {string} */ text) => (/^\d{1,9}$/.test(text) ? Number(text) : 0);
const asYes = () => true;
const YES = ['yes'];

/**
 * Every attribute that makes up the question and the address: its name, the part of the question it
 * gives, how it is read, and the texts it may have if not any.
 * @type {[string, keyof QuestionAsked | `narrow/${keyof NarrowingAsked}`, (text: string) => Read, string[]?][]}
 */
const PARTS = [
  ['tool', 'tool', asText],
  ['pack', 'pack', asText],
  ['beside', 'beside', pairsIn],
  ['job', 'job', asText],
  ['direction', 'direction', asText, ['loosen', 'tighten']],
  ['condition', 'condition', asCondition],
  ['loss', 'loss_percent', asNumber],
  ['within', 'within_s', asNumber],
  ['score', 'score', asText, ['typical', 'best-of-three']],
  ['setup', 'setup', asText],
  ['rig', 'rig', asText],
  ['edition', 'edition', asWhole],
  ['units', 'units', asText, ['n-m', 'lbf-ft']],
  ['find', 'narrow/find', asText],
  ['size', 'narrow/size', asText, ['small', 'medium', 'large']],
  ['mount', 'narrow/mount', asText],
  ['sold', 'narrow/still_sold', asYes, YES],
  ['longest', 'narrow/longest_mm', asNumber],
  ['heaviest', 'narrow/heaviest_kg', asNumber],
  ['dearest', 'narrow/dearest', asNumber],
  ['reaching', 'narrow/reaching', asYes, YES],
  ['currency', 'currency', asText],
  ['sort', 'sort', asText],
  ['order', 'order', asText, ['lightest', 'shortest', 'least-costly', 'quickest']],
  ['stated', 'stated', asYes, YES],
];

/** Attributes with a text that are no part of the question. */
const TEXTS = ['src'];

/** Attributes that are there or not. */
const SWITCHES = ['compact', 'fragment'];

/** The names of all attributes. */
export const attributes = [...PARTS.map(([name]) => name), ...TEXTS, ...SWITCHES];

/**
 * An option of a link or an attribute that is none: the part of the question it would give, its name,
 * its text, and what is known in its place. Where the name itself is not known, it is the text.
 * @typedef {{ part: string, name: string, text: string, known: string }} Unknown
 */

/** Changes of one control that follow each other within this are one step back in the history. */
const SAME_MS = 1000;

/** What an element asks for: what its visitor chose goes before its attributes. */
export class Choices {
  /** @type {Map<string, string | null>} */
  #chosen = new Map();
  #element;
  /** Which options were chosen last, and which were written last, and when. */
  #last = '';
  #written = { options: '', at: -Infinity };
  /** The names in the address that are almost those of options. @type {Unknown[]} */
  misspelt = [];

  /** @param {HTMLElement} element */
  constructor(element) {
    this.#element = element;
  }

  /** @param {Record<string, string | null>} choice by the names of attributes; `null` for nothing */
  choose(choice) {
    this.#last = Object.keys(choice).join();
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

  /** The number of the edition asked for, as it is written. */
  get edition() {
    return this.#value('edition');
  }

  /**
   * The question as it stands.
   * @param {string} job what is asked where no job is given
   * @returns {QuestionAsked}
   */
  question(job) {
    /** @type {Record<string, Read | Record<string, Read | null> | null>} */
    const question = {};
    /** @type {Record<string, Read | null>} */
    const narrow = {};
    for (const [name, part, read, known] of PARTS) {
      const text = this.#value(name);
      const [whole = '', within] = part.split('/');
      const value = text && (known?.includes(text) ?? true) ? read(text) : null;
      if (within === undefined) question[whole] = value;
      else narrow[within] = value;
    }
    // Every member is there, if only as null: one that is not may come from the page around.
    question.narrow = Object.values(narrow).some((value) => value !== null) ? narrow : null;
    return { ...question, job: this.#value('job') ?? job };
  }

  /**
   * The first option whose text is none of those it may have.
   * @returns {Unknown | null}
   */
  get unknown() {
    for (const [name, part, , known] of PARTS) {
      const text = this.#value(name);
      if (text && known && !known.includes(text)) return { part, name, text, known: known.join(', ') };
    }
    return null;
  }

  /** Whether every option is one that there is. */
  get isKnown() {
    return this.misspelt.length === 0 && !this.unknown;
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

  /** The address of this page, or of the results page beside the dataset, at the same choice. */
  get fullAddress() {
    const src = this.#element.getAttribute('src') ?? '';
    // Beside the page itself where the address of the dataset is none.
    const dataset = URL.canParse(src, document.baseURI) ? src : '';
    const beside = new URL('index.html', new URL(dataset, document.baseURI));
    const page = this.#element.hasAttribute('fragment') ? new URL(location.href) : beside;
    page.hash = this.fragment;
    return page.href;
  }

  /** Takes what the address of the page asks for: that alone, or the attributes if it asks for nothing. */
  readAddress() {
    this.#chosen.clear();
    // A browser that does not know directives for itself leaves them in the fragment.
    const [fragment = ''] = location.hash.slice(1).split(':~:');
    const parts = new URLSearchParams(fragment);
    this.misspelt = [...parts].flatMap(([text, value]) => {
      const known = value && attributeNear(text);
      return known ? [{ part: '', name: '', text, known }] : [];
    });
    if (!PARTS.some(([name]) => parts.has(name))) return;
    for (const [name] of PARTS) this.#chosen.set(name, parts.get(name));
  }

  /** Writes the question to the address of the page, as a step that leads back to the one before. */
  writeAddress() {
    const [page] = location.href.split('#');
    const address = `${page}${this.fragment && '#'}${this.fragment}`;
    const [options, at] = [this.#last, performance.now()];
    const isSame = options === this.#written.options && at - this.#written.at < SAME_MS;
    this.#written = { options, at };
    try {
      if (isSame || address === location.href) history.replaceState(history.state, '', address);
      else history.pushState(null, '', address);
    } catch {
      // A frame without an origin has no address to write, and a browser may refuse many in a row.
    }
  }
}

/**
 * The option that a name was probably meant for: one letter is missing, added, another one or has
 * changed places, or is a capital. Options of others in the same address are none of these.
 * @param {string} name
 */
function attributeNear(name) {
  const names = PARTS.map(([known]) => known);
  if (names.includes(name)) return null;
  // Names of three letters are too short for this.
  const long = (/** @type {string} */ known) => Math.max(name.length, known.length) > 3;
  return names.find((known) => long(known) && isOneEditAway(name.toLowerCase(), known)) ?? null;
}

/**
 * @param {string} one
 * @param {string} other
 */
function isOneEditAway(one, other) {
  if (Math.abs(one.length - other.length) > 1) return false;
  let at = 0;
  while (at < one.length && one[at] === other[at]) at += 1;
  const [rest, of] = [one.slice(at), other.slice(at)];
  const swapped = rest.slice(0, 2) === of.slice(0, 2).split('').reverse().join('');
  return (
    rest.slice(1) === of.slice(1) ||
    rest.slice(1) === of ||
    rest === of.slice(1) ||
    (swapped && rest.slice(2) === of.slice(2))
  );
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
