/**
 * What stands beside and below an answer: the pairs that reach the job, comparisons, packs, runs, the
 * table, and what the answer rests on.
 */

import { Behind } from './answer.js';
import { PacksOnTool, SideBySide } from './compare.js';
import { aboutResults } from './edition.js';
import { OthersList } from './others.js';
import { RunsBehind, RunsPanel } from './runs.js';
import { PairsTable } from './table.js';
import { TakeRow } from './share.js';

/**
 * @typedef {import('./sections.js').Shown} ShownAbove
 * @typedef {import('./dom.js').Choice} ChosenBelow
 */

/**
 * What it is made with.
 * @typedef {object} Around
 * @property {import('./engine.js').Source} source
 * @property {import('./jobtorque.js').Contents} contents
 * @property {(choice: ChosenBelow) => void} choose
 * @property {boolean} onPage whether the page around says who measured, and how
 * @property {import('./dom.js').Tried} tried
 * @property {import('./chart.js').Chart} chart
 * @property {(message: string) => void} say tells those who do not see what was done
 */

/** The blocks beside and below an answer. */
export class Beneath {
  #source;
  #others;
  #table;
  #take;
  #beside;
  #packs;
  #restsOn;
  #runs;
  #reminders;
  /** What was asked last. @type {ShownAbove | null} */
  #shown = null;
  /** All but the list, in their order. @type {HTMLElement[]} */
  elements;

  /** @param {Around} around */
  constructor({ source, contents, choose, onPage, tried, chart, say }) {
    const { texts, units } = source.catalogue;
    this.#source = source;
    this.#others = new OthersList(texts, choose);
    this.#table = new PairsTable(texts, units, choose, (row, element) => {
      const panel = new RunsPanel(source, choose, tried);
      element.append(panel.element);
      const asked = this.#shown?.question;
      if (asked) tried(() => panel.show({ ...asked, tool: row.tool, pack: row.pack }));
      return () => panel.close();
    });
    this.#take = new TakeRow(source, chart, onPage, tried, say);
    this.#beside = new SideBySide(texts['section.compare'] ?? '');
    this.#packs = new PacksOnTool(texts, choose);
    this.#restsOn = new Behind('rests-on', texts['section.rests_on'] ?? '');
    this.#restsOn.element.setAttribute('part', 'rests-on');
    this.#runs = new RunsBehind(source, choose, tried);
    this.#reminders = new Behind('reminders', texts['section.cautions'] ?? '');
    const blocks = [
      this.#take,
      this.#beside,
      this.#packs,
      this.#restsOn,
      this.#runs,
      this.#reminders,
      this.#table,
    ];
    const about = onPage ? [] : aboutResults(texts, contents);
    this.elements = [...blocks.map(({ element }) => element), ...about];
  }

  /** The list of the pairs that reach the job. */
  get others() {
    return this.#others.element;
  }

  /** @param {ShownAbove} shown */
  show(shown) {
    const { question, answer, panels } = shown;
    this.#shown = shown;
    this.#take.show(shown);
    if (panels) {
      this.#beside.show(panels.beside);
      this.#packs.show(panels.packs, question);
    }
    this.#restsOn.show(answer.rests_on);
    this.#runs.show(question);
    this.#reminders.show(answer.reminders);
  }

  /** @param {ShownAbove} shown */
  showLists({ question, answer }) {
    const { choices, table } = this.#source.use((results) => results.lists(question));
    this.#others.show(choices, question);
    this.#table.show(table, question, answer.score);
  }

  /**
   * The list is the key of the chart where it holds every curve.
   * @param {import('./chart-words.js').DrawnPair[]} curves
   */
  mark(curves) {
    return this.#others.mark(curves);
  }

  /** Lets go of everything outside. */
  close() {
    this.#runs.close();
    this.#table.close();
  }
}
