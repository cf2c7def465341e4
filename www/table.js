/**
 * The ranked field as a real table: sorted by its headings, narrowed, folded where it is long.
 */

import { fill, labelled, made, picker, pressable, tickBox } from './dom.js';
import { NarrowRow } from './filter.js';
import { refill } from './pairs.js';
import { TableRow } from './rows.js';

/**
 * @typedef {import('./jobtorque.js').WordedTable} WordedTable
 * @typedef {import('./jobtorque.js').Question} FieldQuestion
 * @typedef {import('./jobtorque.js').Score} Score
 * @typedef {import('./rows.js').WordedRow} WordedRow
 */

/** Columns that stay where there is no room for all. */
const ALWAYS = ['place', 'pair'];

/** The others, first those that find room first. What is chosen at the head goes before them. */
const FIRST = ['time', 'nineteen', 'mass', 'chance', 'peak', 'price', 'length', 'tested'];

/** The whole field. */
export class PairsTable {
  element = made('section', 'field');
  #texts;
  #chosen;
  #opened;
  #heading = made('h2', '');
  #settings = made('p', 'settings column');
  #narrow;
  #notes = made('div', 'notes');
  #table = made('table', '');
  #head = made('tr', '');
  #body = made('tbody', '');
  #columns;
  #score;
  #help = made('small', '');
  #stated;
  #all = pressable('onwards', '', () => this.#openAll());
  /** @type {{ table: WordedTable, question: FieldQuestion } | null} */
  #shown = null;
  /** The rows by what they say. @type {Map<string, TableRow>} */
  #rows = new Map();
  /** Which columns find room first. */
  #first = FIRST;
  /** The headings, as last made. */
  #keys = '';
  /** The column that the table was last sorted by, and whether it had the maker's figure. */
  #sorted = '';
  #hasStated = false;
  /** Whether all rows are shown, however many. */
  #open = false;
  /** Tools whose packs are shown. @type {Set<string>} */
  #tools = new Set();

  /**
   * @param {Record<string, string>} texts
   * @param {Record<string, string>} units
   * @param {(choice: import('./dom.js').Choice) => void} chosen
   * @param {import('./rows.js').Opened} opened
   */
  constructor(texts, units, chosen, opened) {
    this.#texts = texts;
    this.#chosen = chosen;
    this.#opened = (/** @type {WordedRow} */ row, /** @type {HTMLElement} */ element) => {
      this.#nameParts();
      return opened(row, element);
    };
    this.#narrow = new NarrowRow(texts, units, chosen);
    this.element.setAttribute('part', 'table');
    const text = (/** @type {string} */ key) => texts[key] ?? '';
    this.#score = picker('score', text('score.label'), (score) => chosen({ score: score || null }));
    fill(this.#score, [
      ['', text('score.typical')],
      ['best-of-three', text('score.best_of_three')],
    ]);
    this.#help.textContent = text('score.help');
    const judged = made('p', 'settings');
    this.#stated = tickBox('stated', text('table.stated.switch'), chosen);
    judged.append(
      labelled(this.#score, text('score.label')),
      this.#help,
      labelled(this.#stated, text('table.stated.switch')),
    );
    this.#columns = picker('column', text('table.show'), (key) => this.#bringForward(key));
    this.#settings.append(labelled(this.#columns, text('table.show')));
    this.#heading.id = 'field';
    this.#table.setAttribute('aria-labelledby', this.#heading.id);
    const head = made('thead', '');
    head.append(this.#head);
    this.#table.append(head, this.#body);
    this.element.append(
      this.#heading,
      judged,
      this.#narrow.element,
      this.#settings,
      this.#notes,
      this.#table,
      this.#all,
    );
  }

  /**
   * @param {WordedTable} table
   * @param {FieldQuestion} question
   * @param {Score} score what places are counted by
   */
  show(table, question, score) {
    this.#shown = { table, question };
    this.element.hidden = !table.stands;
    if (!table.stands) return;
    this.#heading.textContent = table.caption;
    this.#score.value = score === 'best-of-three' ? score : '';
    this.#help.hidden = score !== 'best-of-three';
    this.#stated.checked = question.stated === true;
    this.#narrow.show(table, question);
    this.#notes.replaceChildren(...table.notes.map((text) => made('p', '', text)));
    this.#table.hidden = this.#settings.hidden = table.empty !== null;
    this.#showHead(table);
    this.#showRows();
    this.#rankColumns();
  }

  /** Lets go of what is open below its rows. */
  close() {
    for (const row of this.#rows.values()) row.close();
  }

  /** @param {WordedTable} table */
  #showHead({ headings }) {
    const keys = JSON.stringify(headings.map(({ key, text }) => [key, text]));
    if (keys !== this.#keys) {
      this.#keys = keys;
      this.#head.replaceChildren(
        ...headings.map(({ key, text, figures }, i) => {
          const cell = made('th', figures ? 'figures' : '');
          cell.scope = 'col';
          cell.dataset.key = key;
          cell.append(pressable('sort', text, () => this.#sort(i)));
          return cell;
        }),
      );
      const choices = headings.filter(({ key }) => !ALWAYS.includes(key));
      fill(
        this.#columns,
        choices.map(({ key, text }) => [key, text]),
      );
    }
    // What was just asked for is seen where there is room for few: the maker's figure, what is sorted by.
    const has = (/** @type {string} */ wanted) => headings.some(({ key }) => key === wanted);
    const sorted = headings.find(({ key, sorted }) => sorted && !ALWAYS.includes(key))?.key ?? '';
    const wanted = [has('stated') && !this.#hasStated ? 'stated' : '', sorted === this.#sorted ? '' : sorted];
    for (const key of wanted) if (key) this.#first = [key, ...this.#first.filter((other) => other !== key)];
    this.#hasStated = has('stated');
    this.#sorted = sorted;
    this.#columns.value = this.#first.find(has) ?? '';
    headings.forEach(({ sorted }, i) => {
      const cell = this.#head.children[i];
      if (sorted) cell?.setAttribute('aria-sort', sorted);
      else cell?.removeAttribute('aria-sort');
    });
  }

  /** @param {number} column */
  #sort(column) {
    const next = this.#shown?.table.headings[column]?.next;
    if (next) this.#chosen({ sort: next === 'place' ? null : next });
  }

  #showRows() {
    if (!this.#shown) return;
    const { table } = this.#shown;
    const before = this.#rows;
    this.#rows = new Map();
    const all = [...table.rows, ...table.estimates].map((row) => {
      const says = JSON.stringify([this.#keys, row.tool, row.pack, row.cells, row.mark]);
      const known = before.get(says);
      before.delete(says);
      if (known) known.row = row;
      const shown = known ?? new TableRow(this.#texts, table, row, this.#chosen, this.#opened);
      this.#rows.set(says, shown);
      return shown;
    });
    // A row that says something new stays open as the one before was.
    for (const gone of before.values()) {
      const { isOpen, row } = gone;
      gone.close();
      if (isOpen) all.find((one) => one.row.tool === row.tool && one.row.pack === row.pack)?.open();
    }
    const measured = all.slice(0, table.rows.length);
    const estimated = all.slice(table.rows.length);
    const width = table.headings.length;
    const parts = [];
    let reached = true;
    for (const [place, one] of measured.entries()) {
      const { row } = one;
      if (row.under !== null) continue;
      if (row.reaches === false && reached && table.falls_short) {
        reached = false;
        parts.push(divider(table.falls_short, width));
      }
      parts.push(...one.elements);
      if (row.opens === null) continue;
      parts.push(this.#opener(one, row.opens, width));
      const under = measured.filter((other) => other.row.under === place);
      parts.push(...under.flatMap((other) => other.elements));
    }
    if (estimated.length > 0) parts.push(divider(table.estimated, width));
    parts.push(...estimated.flatMap((one) => one.elements));
    refill(this.#body, parts);
    this.#nameParts();
    this.#fold();
  }

  /**
   * A line that opens the other packs of a row's tool.
   * @param {TableRow} one
   * @param {string} text
   * @param {number} width
   */
  #opener({ row }, text, width) {
    const line = divider('', width);
    line.className = 'packs-of';
    const button = pressable('onwards', text, () => {
      if (!this.#tools.delete(row.tool)) this.#tools.add(row.tool);
      this.#fold();
    });
    button.dataset.tool = row.tool;
    button.setAttribute('aria-expanded', 'false');
    button.setAttribute('aria-description', row.cells[1] ?? '');
    line.cells[0]?.append(button);
    return line;
  }

  /** A long table is laid out as a grid, and says what its parts are all the same. */
  #nameParts() {
    const large = this.#shown?.table.rows.some((row) => row.opens !== null) ?? false;
    this.#table.classList.toggle('large', large);
    const roles = { table: 'table', thead: 'rowgroup', tbody: 'rowgroup', tr: 'row', td: 'cell' };
    // Its own parts: a table inside an opened row keeps its own roles.
    const rows = [...this.#table.rows];
    const cells = rows.flatMap((row) => [...row.cells]);
    for (const element of [this.#table, this.#head.parentElement, this.#body, ...rows, ...cells]) {
      if (!element) continue;
      const head = element.getAttribute('scope') === 'row' ? 'rowheader' : 'columnheader';
      const role = new Map(Object.entries(roles)).get(element.localName) ?? head;
      if (large) element.setAttribute('role', role);
      else element.removeAttribute('role');
    }
  }

  /** Shows the rows that are open, and marks the one that was asked for. */
  #fold() {
    if (!this.#shown) return;
    const { table, question } = this.#shown;
    const isOpen = (/** @type {TableRow['row']} */ row) =>
      this.#open || row.at_first || (row.under !== null && this.#tools.has(row.tool));
    for (const one of this.#rows.values()) one.show(question, !isOpen(one.row));
    // Words above rows that are all folded stand there for nothing.
    let rows = [];
    for (const line of [...this.#body.rows].reverse()) {
      if (line.className === 'divider') {
        line.hidden = rows.every((row) => row.hidden);
        rows = [];
      } else {
        rows.push(line);
      }
    }
    for (const button of this.#body.querySelectorAll('[data-tool]')) {
      const tool = button instanceof HTMLElement ? button.dataset.tool : '';
      const rows = table.rows.filter((row) => row.under !== null && row.tool === tool);
      button.setAttribute('aria-expanded', String(rows.every(isOpen)));
    }
    this.#all.textContent = table.open_all ?? '';
    this.#all.hidden = table.open_all === null || this.#open || table.empty !== null;
  }

  #openAll() {
    this.#open = true;
    this.#fold();
    this.#table.querySelector('button')?.focus();
  }

  /** @param {string} key of a column that is to be seen, however little room there is */
  #bringForward(key) {
    this.#first = [key, ...this.#first.filter((other) => other !== key)];
    this.#rankColumns();
  }

  /** Numbers the columns in the order in which they find room. */
  #rankColumns() {
    const keys = (this.#shown?.table.headings ?? []).map(({ key }) => key);
    const all = [...new Set([...this.#first, ...keys])];
    const ranked = all.filter((key) => keys.includes(key) && !ALWAYS.includes(key));
    for (const cell of this.#table.querySelectorAll('[data-key]')) {
      const key = cell instanceof HTMLElement ? (cell.dataset.key ?? '') : '';
      const rank = ranked.indexOf(key);
      if (rank >= 0) cell.setAttribute('data-rank', String(rank));
    }
  }
}

/**
 * A row with words across all columns.
 * @param {string} text
 * @param {number} columns
 */
function divider(text, columns) {
  const row = made('tr', 'divider');
  const cell = made('td', '', text);
  cell.colSpan = columns;
  row.append(cell);
  return row;
}
