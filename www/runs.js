/**
 * The runs behind a pair: their curves, their figures, their days. It opens.
 */

import { Chart } from './chart.js';
import { joined, made } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').WordedRuns} WordedRuns
 * @typedef {import('./jobtorque.js').RunGroup} RunGroup
 * @typedef {import('./jobtorque.js').Passage} Passage
 * @typedef {import('./jobtorque.js').Question} PairAsked
 * @typedef {import('./dom.js').Choice} ChosenRuns
 */

/** The runs of one pair. */
export class RunsPanel {
  element = made('div', 'behind');
  #chart;
  #source;

  /**
   * @param {import('./engine.js').Source} source
   * @param {(choice: ChosenRuns) => void} choose
   * @param {import('./dom.js').Tried} tried
   */
  constructor(source, choose, tried) {
    this.#source = source;
    this.#chart = new Chart(source.catalogue.texts, choose, tried);
    this.#chart.showRuns(true);
  }

  /**
   * @param {PairAsked} question about one pair
   */
  show(question) {
    const { texts } = this.#source.catalogue;
    const runs = this.#source.use((results) => results.runs(question));
    const parts = [];
    if (runs.none) parts.push(made('p', '', runs.none));
    parts.push(this.#chart.element);
    if (runs.counted.length > 0)
      parts.push(runsTable(runs.headings, runs.counted, texts['section.runs'] ?? ''));
    if (runs.set_aside.length > 0) {
      const heading = texts['section.set_aside'] ?? '';
      parts.push(made('h3', '', heading), runsTable(runs.headings, runs.set_aside, heading));
    }
    parts.push(...runs.passages.flatMap((passage) => passageOf(passage.heading, passage.lines)));
    if (runs.stated) parts.push(opening(runs.stated));
    this.element.replaceChildren(...parts);
    const alone = { ...question, beside: [] };
    this.#chart.connect();
    this.#chart.show({
      draw: (canvas, frame, look) => this.#source.use((results) => results.draw(alone, canvas, frame, look)),
      read: (frame) => this.#source.use((results) => results.readings(alone, frame)),
      question: alone,
      pull: null,
      places: null,
    });
  }

  /** Lets go of everything outside, and shows nothing. */
  close() {
    this.#chart.disconnect();
    this.element.replaceChildren();
  }
}

/** The runs behind the pair that was chosen. */
export class RunsBehind {
  element = made('details', 'runs');
  #panel;

  /**
   * @param {import('./engine.js').Source} source
   * @param {(choice: ChosenRuns) => void} choose
   * @param {import('./dom.js').Tried} tried
   */
  constructor(source, choose, tried) {
    this.#panel = new RunsPanel(source, choose, tried);
    this.element.setAttribute('part', 'runs');
    this.element.append(
      made('summary', '', source.catalogue.texts['section.runs'] ?? ''),
      this.#panel.element,
    );
    // Asks again once it is open, so that a fault on the way is met like any other.
    this.element.addEventListener('toggle', () => (this.element.open ? choose({}) : this.close()));
  }

  /** @param {PairAsked} question */
  show(question) {
    this.element.hidden = !question.tool || !question.pack;
    if (!this.element.hidden && this.element.open) this.#panel.show(question);
    else this.close();
  }

  /** Lets go of everything outside. */
  close() {
    this.#panel.close();
  }
}

/**
 * Lines under a heading.
 * @param {string} heading
 * @param {string[]} lines
 * @returns {[HTMLElement, HTMLElement]}
 */
export function passageOf(heading, lines) {
  return [made('h3', '', heading), listOf(lines)];
}

/**
 * A passage that opens.
 * @param {Passage} passage
 */
function opening({ heading, lines }) {
  const details = made('details', '');
  details.append(made('summary', '', heading), listOf(lines));
  return details;
}

/** @param {string[]} lines */
function listOf(lines) {
  const list = made('ul', '');
  list.append(...lines.map((line) => made('li', '', joined(line))));
  return list;
}

/**
 * Runs as a table, those of one day and one tool together.
 * @param {string[]} headings
 * @param {RunGroup[]} groups
 * @param {string} name
 */
function runsTable(headings, groups, name) {
  const table = made('table', '');
  table.setAttribute('aria-label', name);
  const head = made('thead', '');
  head.append(rowOf(headings.map((heading) => headingCell(heading, 'col'))));
  const across = (/** @type {HTMLTableCellElement} */ cell) => {
    cell.colSpan = headings.length;
    return rowOf([cell]);
  };
  const bodies = groups.map(({ title, rows, lines }) => {
    const body = made('tbody', '');
    body.append(
      across(headingCell(title, 'rowgroup')),
      ...rows.map(([number = '', ...figures]) =>
        rowOf([headingCell(number, 'row'), ...figures.map((figure) => made('td', 'figures', figure))]),
      ),
      ...lines.map((line) => across(made('td', 'remark', line))),
    );
    return body;
  });
  table.append(head, ...bodies);
  return table;
}

/**
 * @param {string} text
 * @param {string} scope
 */
function headingCell(text, scope) {
  const cell = made('th', scope === 'rowgroup' ? 'together' : 'figures', text);
  cell.scope = scope;
  return cell;
}

/** @param {HTMLElement[]} cells */
function rowOf(cells) {
  const row = made('tr', '');
  row.append(...cells);
  return row;
}
