/**
 * What the visitor narrows a table by: words to find, limits, and what is in force in words.
 */

import { fill, made, named } from './form.js';
import { labelled, pressable } from './pairs.js';

/**
 * @typedef {import('./jobtorque.js').WordedTable} NarrowedTable
 * @typedef {import('./jobtorque.js').Filters} Filters
 * @typedef {import('./jobtorque.js').Narrowing} Narrowing
 * @typedef {import('./jobtorque.js').Question} NarrowQuestion
 */

/** How long after the last letter words are looked for, in ms. */
const PAUSE_MS = 200;

/** Attributes that narrow a table. */
const NARROWING = ['find', 'size', 'mount', 'sold', 'longest', 'heaviest', 'dearest', 'reaching'];

/** The controls. */
export class NarrowRow {
  element = made('div', 'narrow');
  #text;
  #chosen;
  #row = made('form', 'settings');
  #more = made('details', '');
  #find = made('input', 'text');
  #reaching = made('input', '');
  #size = made('select', '');
  #mount = made('select', '');
  #currency = made('select', '');
  #sold = made('input', '');
  #longest = made('input', 'number');
  #heaviest = made('input', 'number');
  #dearest = made('input', 'number');
  #state = made('p', 'state');
  #said = made('span', '');
  #clear;
  #pause = 0;

  /**
   * @param {Record<string, string>} texts
   * @param {Record<string, string>} units
   * @param {(choice: import('./form.js').Choice) => void} chosen
   */
  constructor(texts, units, chosen) {
    this.#chosen = chosen;
    this.#text = (/** @type {string} */ key) => texts[key] ?? '';
    const text = this.#text;
    this.#clear = pressable('onwards', text('narrow.clear'), () => this.#cleared());
    this.#find.type = 'search';
    this.#find.autocomplete = 'off';
    named(this.#find, 'find', text('narrow.label.find'), (find) => this.#ask({ find: find || null }));
    this.#find.addEventListener('input', () => {
      clearTimeout(this.#pause);
      this.#pause = setTimeout(() => this.#ask({ find: this.#find.value.trim() || null }), PAUSE_MS);
    });
    this.#row.append(
      labelled(this.#find, text('narrow.label.find')),
      this.#ticked(this.#reaching, 'reaching', 'narrow.reaching'),
    );
    this.#row.addEventListener('submit', (event) => event.preventDefault());
    const limits = made('p', 'settings');
    limits.append(
      this.#picked(this.#size, 'size'),
      this.#picked(this.#mount, 'mount'),
      this.#ticked(this.#sold, 'sold', 'narrow.sold'),
      this.#limit(this.#longest, 'longest', units.millimetre ?? ''),
      this.#limit(this.#heaviest, 'heaviest', units.kilogram ?? ''),
      this.#limit(this.#dearest, 'dearest', ''),
      this.#picked(this.#currency, 'currency'),
    );
    this.#more.append(made('summary', '', text('narrow.more')), limits);
    this.#said.setAttribute('role', 'status');
    this.#state.append(this.#said, ' ', this.#clear);
    this.element.append(this.#row, this.#more, this.#state);
  }

  /**
   * A box to tick, with its label.
   * @param {HTMLInputElement} box
   * @param {string} name
   * @param {string} key of its text
   */
  #ticked(box, name, key) {
    box.type = 'checkbox';
    named(box, name, this.#text(key), () => this.#chosen({ [name]: box.checked ? 'yes' : null }));
    const label = made('label', 'switch');
    label.append(box, ` ${this.#text(key)}`);
    return label;
  }

  /**
   * A list to pick from, with its label.
   * @param {HTMLSelectElement} select
   * @param {string} name
   */
  #picked(select, name) {
    const label = this.#text(`narrow.label.${name}`);
    named(select, name, label, (value) => this.#chosen({ [name]: value || null }));
    return labelled(select, label);
  }

  /**
   * A limit to write, with its label and unit.
   * @param {HTMLInputElement} input
   * @param {string} name
   * @param {string} unit
   */
  #limit(input, name, unit) {
    input.type = 'number';
    input.min = '0';
    input.step = 'any';
    input.autocomplete = 'off';
    const label = this.#text(`narrow.label.${name}`);
    named(input, name, label, (value) => this.#chosen({ [name]: value || null }));
    const whole = labelled(input, label);
    whole.append(` ${unit}`);
    return whole;
  }

  /**
   * @param {NarrowedTable} table
   * @param {NarrowQuestion} question
   */
  show(table, question) {
    const narrow = question.narrow ?? {};
    const { filters } = table;
    this.#row.hidden = filters === null;
    this.#more.hidden = filters === null;
    if (filters) this.#offer(filters);
    const root = this.element.getRootNode();
    const focused = root instanceof ShadowRoot ? root.activeElement : null;
    if (focused !== this.#find) this.#find.value = narrow.find ?? '';
    this.#reaching.checked = narrow.reaching === true;
    this.#sold.checked = narrow.still_sold === true;
    this.#size.value = narrow.size ?? '';
    this.#mount.value = narrow.mount ?? '';
    this.#currency.value = question.currency ?? '';
    this.#longest.value = narrow.longest_mm == null ? '' : String(narrow.longest_mm);
    this.#heaviest.value = narrow.heaviest_kg == null ? '' : String(narrow.heaviest_kg);
    this.#dearest.value = narrow.dearest == null ? '' : String(narrow.dearest);
    const said = table.empty ?? table.state ?? '';
    if (this.#said.textContent !== said) this.#said.textContent = said;
    this.#clear.hidden = said === '';
  }

  /** @param {Filters} filters */
  #offer({ sizes, mounts, currencies }) {
    this.#offerIn(this.#size, sizes);
    this.#offerIn(this.#mount, mounts);
    this.#offerIn(this.#currency, currencies);
  }

  /**
   * @param {HTMLSelectElement} select
   * @param {import('./jobtorque.js').Offered[]} offered
   */
  #offerIn(select, offered) {
    fill(select, [['', this.#text('narrow.any')], ...offered.map(valueAndText)]);
    if (select.parentElement) select.parentElement.hidden = offered.length === 0;
  }

  /** @param {{ find: string | null }} choice */
  #ask(choice) {
    clearTimeout(this.#pause);
    this.#chosen(choice);
  }

  #cleared() {
    this.#chosen(Object.fromEntries(NARROWING.map((name) => [name, null])));
    this.#find.value = '';
    this.#find.focus();
  }
}

/**
 * @param {import('./jobtorque.js').Offered} offered
 * @returns {[string, string]}
 */
function valueAndText({ value, text }) {
  return [value, text];
}
