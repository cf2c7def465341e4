/**
 * What the visitor narrows a table by: words to find, limits, and what is in force in words.
 */

import { fill, labelled, made, named, numberBlank, picker, pressable, tickBox } from './dom.js';

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
  #find = made('input', '');
  #reaching;
  #size;
  #mount;
  #currency;
  #sold;
  #longest;
  #heaviest;
  #dearest;
  #state = made('p', 'state');
  #said = made('span', '');
  #clear;
  #pause = 0;

  /**
   * @param {Record<string, string>} texts
   * @param {Record<string, string>} units
   * @param {(choice: import('./dom.js').Choice) => void} chosen
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
    const label = (/** @type {string} */ name) => text(`narrow.label.${name}`);
    const changed = (/** @type {string} */ name) => (/** @type {string} */ value) =>
      chosen({ [name]: value || null });
    const pick = (/** @type {string} */ name) => picker(name, label(name), changed(name));
    const limit = (/** @type {string} */ name) => numberBlank(name, label(name), changed(name));
    this.#reaching = tickBox('reaching', text('narrow.reaching'), chosen);
    this.#sold = tickBox('sold', text('narrow.sold'), chosen);
    this.#size = pick('size');
    this.#mount = pick('mount');
    this.#currency = pick('currency');
    this.#longest = limit('longest');
    this.#heaviest = limit('heaviest');
    this.#dearest = limit('dearest');
    this.#row.append(labelled(this.#find, label('find')), labelled(this.#reaching, text('narrow.reaching')));
    this.#row.addEventListener('submit', (event) => event.preventDefault());
    const limits = made('p', 'settings');
    const [longest, heaviest] = [
      labelled(this.#longest, label('longest')),
      labelled(this.#heaviest, label('heaviest')),
    ];
    longest.append(` ${units.millimetre}`);
    heaviest.append(` ${units.kilogram}`);
    limits.append(
      labelled(this.#size, label('size')),
      labelled(this.#mount, label('mount')),
      labelled(this.#sold, text('narrow.sold')),
      longest,
      heaviest,
      labelled(this.#dearest, label('dearest')),
      labelled(this.#currency, label('currency')),
    );
    this.#more.append(made('summary', '', text('narrow.more')), limits);
    this.#said.setAttribute('role', 'status');
    this.#state.append(this.#said, ' ', this.#clear);
    this.element.append(this.#row, this.#more, this.#state);
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
