/**
 * One row of the table of all pairs, and what opens below it.
 */

import { made, pressable } from './dom.js';
import { markOf } from './mark.js';
import { overlay, pairButton, pairKey, refill } from './pairs.js';

/**
 * @typedef {import('./jobtorque.js').WordedTable} RowsTable
 * @typedef {import('./jobtorque.js').WordedRow} WordedRow
 * @typedef {import('./jobtorque.js').Question} RowQuestion
 * @typedef {(choice: import('./dom.js').Choice) => void} ChooseRow
 */

/**
 * What to show below a row that was opened; gives back what to do when it closes.
 * @typedef {(row: WordedRow, element: HTMLElement) => () => void} Opened
 */

/** A row, made once for what it says. */
export class TableRow {
  element = made('tr', '');
  #texts;
  #chosen;
  #opened;
  #name;
  #more;
  /** The row below, while it is open. @type {HTMLTableRowElement | null} */
  #below = null;
  #close = () => {};
  /** Where what is behind the row is shown. @type {HTMLElement | null} */
  #place = null;

  /**
   * @param {Record<string, string>} texts
   * @param {RowsTable} table
   * @param {WordedRow} row
   * @param {ChooseRow} chosen
   * @param {Opened} opened
   */
  constructor(texts, table, row, chosen, opened) {
    this.row = row;
    this.#texts = texts;
    this.#chosen = chosen;
    this.#opened = opened;
    this.#name = row.cells[table.headings.findIndex(({ key }) => key === 'pair')] ?? '';
    this.#more = pressable('more', '', () => this.#toggle());
    this.#more.setAttribute('aria-label', texts['table.more'] ?? '');
    this.#more.setAttribute('aria-description', this.#name);
    this.#more.setAttribute('aria-expanded', 'false');
    this.headings = table.headings;
    this.element.dataset.pair = pairKey(row);
    this.element.append(...table.headings.map((heading, i) => this.#cell(heading, row.cells[i] ?? '')));
    // Anywhere in the row will do, for a finger.
    this.element.addEventListener('click', ({ target }) => {
      if (target instanceof Element && !target.closest('button')) this.#toggle();
    });
  }

  /**
   * @param {import('./jobtorque.js').Heading} heading
   * @param {string} text
   */
  #cell({ key, figures }, text) {
    const cell = made(key === 'pair' ? 'th' : 'td', figures ? 'figures' : '');
    cell.dataset.key = key;
    if (key === 'pair') {
      cell.scope = 'row';
      cell.append(pairButton(text, this.row, this.#chosen), ' ', this.#more);
    } else if (key === 'place' && this.row.mark) {
      cell.append(...markOf(this.row.mark));
    } else {
      cell.textContent = text;
    }
    return cell;
  }

  /** What stands in the table: the row, and what is open below it. */
  get elements() {
    return this.#below ? [this.element, this.#below] : [this.element];
  }

  /**
   * Shows the row anew: where it stands, and whether it is the one asked for.
   * @param {RowQuestion} question
   * @param {boolean} hidden
   */
  show(question, hidden) {
    const isNew = this.question !== undefined && this.question !== question;
    this.question = question;
    const current = this.row.tool === question.tool && this.row.pack === question.pack;
    if (current) this.element.setAttribute('aria-current', 'true');
    else this.element.removeAttribute('aria-current');
    this.element.hidden = hidden;
    if (this.#below) {
      this.#below.hidden = hidden;
      const lays = this.#below.querySelector('.lays');
      if (lays) refill(lays, this.#overlay());
      // What stands there answers the question before.
      if (isNew && !hidden) this.#tell();
    }
  }

  /** Lets go of what is open below. */
  close() {
    this.#close();
    this.#close = () => {};
    this.#below?.remove();
    this.#below = null;
    this.#more.setAttribute('aria-expanded', 'false');
  }

  #overlay() {
    if (!this.question) return [];
    const text = this.#texts['packs.beside'] ?? '';
    return overlay(text, this.#name, this.row, this.question, this.#chosen);
  }

  get isOpen() {
    return this.#below !== null;
  }

  #toggle() {
    if (this.isOpen) this.close();
    else this.open();
  }

  /** Shows the rest of the row, and what is behind it, in a row below. */
  open() {
    this.#more.setAttribute('aria-expanded', 'true');
    const below = made('tr', 'below');
    const cell = made('td', '');
    cell.colSpan = this.headings.length;
    const rest = made('dl', '');
    this.headings.forEach(({ key, text }, i) => {
      if (key === 'place' || key === 'pair') return;
      const term = made('div', '');
      term.append(made('dt', '', text), made('dd', 'figures', this.row.cells[i] ?? ''));
      rest.append(term);
    });
    const lays = made('p', 'lays');
    lays.append(...this.#overlay());
    const place = made('div', '');
    cell.append(rest, lays, place);
    below.append(cell);
    this.#below = below;
    this.element.after(below);
    this.#place = place;
    this.#tell();
  }

  /** Shows what is behind the row, for the question as it is now. */
  #tell() {
    this.#close();
    this.#place?.replaceChildren();
    this.#close = this.#place ? this.#opened(this.row, this.#place) : () => {};
  }
}
