/**
 * The ranked field as a real table, and the short list of pairs that reach the job.
 */

import { fill, made, named } from './form.js';
import { markOf } from './mark.js';

/**
 * @typedef {import('./jobtorque.js').WordedTable} WordedTable
 * @typedef {import('./jobtorque.js').WordedRow} WordedRow
 * @typedef {import('./jobtorque.js').Score} Score
 * @typedef {import('./form.js').Choice} Choice
 */

/**
 * A pair: a tool and a pack; `null` for any.
 * @typedef {{ tool: string | null, pack: string | null }} Pair
 */

/** How many pairs the short list names. */
const LISTED = 5;

/** Columns that stay where there is no room for all; one more is chosen at the head. */
const ALWAYS = ['place', 'pair'];

/** The whole field. */
export class PairsTable {
  element = made('section', 'field');
  #heading = made('h2', '');
  #table = made('table', '');
  #columns = made('select', '');
  #score = made('select', '');
  /** @type {{ table: WordedTable, pair: Pair } | null} */
  #wanted = null;
  /** @type {WordedTable | null} */
  #shown = null;
  /** @type {Map<WordedRow, HTMLTableRowElement>} */
  #rows = new Map();

  /**
   * @param {Record<string, string>} texts
   * @param {(choice: Choice) => void} chosen
   */
  constructor(texts, chosen) {
    this.chosen = chosen;
    this.element.setAttribute('part', 'table');
    const text = (/** @type {string} */ key) => texts[key] ?? '';
    named(this.#score, 'score', text('score.label'), (score) => chosen({ score: score || null }));
    fill(this.#score, [
      ['', text('score.typical')],
      ['best-of-three', text('score.best_of_three')],
    ]);
    const judged = made('p', 'settings');
    judged.append(labelled(this.#score, text('score.label')), made('small', '', text('score.help')));
    named(this.#columns, 'column', text('table.show'), () => this.#narrow());
    const shown = made('p', 'settings column');
    shown.append(labelled(this.#columns, text('table.show')));
    this.#heading.id = 'field';
    this.#table.setAttribute('aria-labelledby', this.#heading.id);
    this.element.append(this.#heading, judged, shown, this.#table);
  }

  /**
   * Shows a table at once where nothing is shown yet; a new one after the next frame, so that the
   * answer and the chart need not wait for it.
   * @param {WordedTable} table
   * @param {Pair} pair the one that is marked
   * @param {Score} score what places are counted by
   */
  show(table, pair, score) {
    this.#score.value = score === 'best-of-three' ? score : '';
    this.#wanted = { table, pair };
    if (!this.#shown || table === this.#shown) this.#update();
    else requestAnimationFrame(() => setTimeout(() => this.#update()));
  }

  #update() {
    if (!this.#wanted) return;
    const { table, pair } = this.#wanted;
    if (table !== this.#shown) this.#fill(table);
    for (const [row, element] of this.#rows) {
      const current = row.tool === pair.tool && row.pack === pair.pack;
      if (current) element.setAttribute('aria-current', 'true');
      else element.removeAttribute('aria-current');
    }
  }

  /** @param {WordedTable} table */
  #fill(table) {
    this.#shown = table;
    this.#rows.clear();
    const head = made('tr', '');
    for (const heading of table.headings) {
      const cell = made('th', heading.figures ? 'figures' : '', heading.text);
      cell.scope = 'col';
      cell.dataset.key = heading.key;
      head.append(cell);
    }
    const thead = made('thead', '');
    thead.append(head);
    const tbody = made('tbody', '');
    let short = false;
    for (const row of table.rows) {
      if (row.reaches === false && !short && table.falls_short) {
        short = true;
        tbody.append(divider(table.falls_short, table.headings.length));
      }
      const element = this.#row(table, row);
      this.#rows.set(row, element);
      tbody.append(element);
    }
    if (table.estimates.length > 0) tbody.append(divider(table.estimated, table.headings.length));
    for (const row of table.estimates) {
      const element = this.#row(table, row);
      this.#rows.set(row, element);
      tbody.append(element);
    }
    this.#heading.textContent = table.caption;
    this.#table.replaceChildren(thead, tbody);
    const chosen = this.#columns.value;
    const choices = table.headings.filter((heading) => !ALWAYS.includes(heading.key));
    fill(
      this.#columns,
      choices.map(({ key, text }) => [key, text]),
    );
    if (choices.some((heading) => heading.key === chosen)) this.#columns.value = chosen;
    this.#narrow();
  }

  /**
   * @param {WordedTable} table
   * @param {WordedRow} row
   */
  #row(table, row) {
    const element = made('tr', '');
    table.headings.forEach((heading, i) => {
      const text = row.cells[i] ?? '';
      const cell = made(heading.key === 'pair' ? 'th' : 'td', heading.figures ? 'figures' : '');
      if (heading.key === 'pair') {
        cell.setAttribute('scope', 'row');
        cell.append(pairButton(text, row, this.chosen));
      } else if (heading.key === 'place' && row.mark) {
        cell.append(...markOf(row.mark));
      } else {
        cell.textContent = text;
      }
      cell.dataset.key = heading.key;
      element.append(cell);
    });
    return element;
  }

  /** Marks the columns that a narrow place leaves out. */
  #narrow() {
    for (const cell of this.#table.querySelectorAll('[data-key]')) {
      const key = cell instanceof HTMLElement ? (cell.dataset.key ?? '') : '';
      cell.classList.toggle('spare', !ALWAYS.includes(key) && key !== this.#columns.value);
    }
  }
}

/** The first pairs that reach the job. */
export class ReachingList {
  element = made('section', 'others');
  #heading = made('h2', '');
  #list = made('ul', '');

  /**
   * @param {Record<string, string>} texts
   * @param {(pair: Pair) => void} chosen
   */
  constructor(texts, chosen) {
    this.texts = texts;
    this.chosen = chosen;
    this.element.setAttribute('part', 'list');
    this.element.append(this.#heading, this.#list);
  }

  /**
   * @param {WordedTable} table
   * @param {Pair} pair what was asked for
   */
  show(table, pair) {
    const single = pair.tool !== null && pair.pack !== null;
    const asked = (/** @type {WordedRow} */ row) =>
      (pair.tool === null || row.tool === pair.tool) && (pair.pack === null || row.pack === pair.pack);
    const rows = table.rows.filter((row) => row.reaches === true && (single ? !asked(row) : asked(row)));
    const cell = (/** @type {WordedRow} */ row, /** @type {string} */ key) =>
      row.cells[table.headings.findIndex((heading) => heading.key === key)] ?? '';
    this.#heading.textContent = this.texts[single ? 'section.others' : 'section.these'] ?? '';
    this.#list.replaceChildren(
      ...rows.slice(0, LISTED).map((row) => {
        const item = made('li', '');
        item.append(
          pairButton(cell(row, 'pair'), row, this.chosen),
          made('span', 'figures', cell(row, 'time')),
          made('span', 'figures', cell(row, 'mass')),
        );
        return item;
      }),
    );
    this.element.hidden = rows.length === 0;
  }
}

/**
 * A control with its visible label.
 * @param {HTMLSelectElement} select
 * @param {string} text
 */
function labelled(select, text) {
  const label = made('label', '', `${text} `);
  label.append(select);
  return label;
}

/**
 * A button that asks for a pair.
 * @param {string} text
 * @param {WordedRow} row
 * @param {(pair: Pair) => void} chosen
 */
function pairButton(text, row, chosen) {
  const button = made('button', 'pair', text);
  button.type = 'button';
  button.addEventListener('click', () => chosen({ tool: row.tool, pack: row.pack }));
  return button;
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
