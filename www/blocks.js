/**
 * The blocks of the element in their order, and the fixed words around them.
 */

import { AnswerBlock, Further, HowSure, Reminders } from './answer.js';
import { Chart } from './chart.js';
import { PacksOnTool, SideBySide } from './compare.js';
import { EditionLine, aboutResults } from './edition.js';
import { made } from './form.js';
import { RunsBehind } from './runs.js';
import { SentenceForm } from './sentence.js';
import { PairsTable, ReachingList } from './table.js';
import { TakeRow } from './take.js';

/**
 * @typedef {import('./jobtorque.js').Contents} AllContents
 * @typedef {import('./jobtorque.js').WordedTable} Field
 * @typedef {import('./jobtorque.js').Question} AskedQuestion
 * @typedef {import('./jobtorque.js').Answer} GivenAnswer
 * @typedef {import('./jobtorque.js').Problem} QuestionProblem
 * @typedef {import('./form.js').Choice} Chosen
 */

/**
 * What the sections show.
 * @typedef {object} Shown
 * @property {AskedQuestion} question
 * @property {GivenAnswer} answer
 * @property {[string, string | null][]} choice the attributes that make up the question
 * @property {boolean} compact sentence, answer and chart alone
 * @property {string} full address of the results page with this answer
 */

/**
 * What stands below the one before it, and what it does with an answer.
 * @typedef {[HTMLElement, ((shown: Shown) => void)?]} Section
 */

/** What stands in the shadow root. */
export class Blocks {
  sheet = made('div', 'sheet');
  #answer;
  status = made('p', 'status');
  #source;
  /** @type {Section[]} */
  #sections;
  #field = '';
  /** @type {Field | null} */
  #table = null;

  /**
   * @param {import('./engine.js').Source} source
   * @param {AllContents} contents
   * @param {(choice: Chosen) => void} choose
   * @param {boolean} onPage whether the page around says who measured, and how
   */
  constructor(source, contents, choose, onPage) {
    const { texts } = source.catalogue;
    this.#answer = new AnswerBlock(contents);
    this.chart = new Chart(texts, choose);
    this.runs = new RunsBehind(source, choose);
    const { chart, runs, status } = this;
    this.contents = contents;
    this.#source = source;
    this.form = new SentenceForm(
      source.catalogue,
      contents,
      (text, question) => source.use((results) => results.found(text, question)),
      choose,
    );
    const list = new ReachingList(texts, choose);
    const table = new PairsTable(texts, choose);
    const beside = new SideBySide(texts['section.compare'] ?? '');
    const packs = new PacksOnTool(texts, choose);
    const sure = new HowSure(texts['section.how_sure'] ?? '', contents);
    const reminders = new Reminders(texts['section.cautions'] ?? '');
    const edition = new EditionLine(texts, contents, choose);
    const full = made('a', 'onwards', texts['section.full'] ?? '');
    full.setAttribute('part', 'full');
    if (!onPage) edition.element.append(' ', full);
    // The day of a copy stands in the page itself, as a sentence.
    const copy = made('slot', '');
    copy.name = 'copy';
    const take = new TakeRow(source, chart, onPage, (message) => (status.textContent = message));
    const plate = made('div', 'plate');
    const further = new Further();
    plate.append(
      this.#answer.element,
      this.#answer.cautions,
      list.element,
      chart.element,
      further.element,
      this.#answer.small,
    );
    status.setAttribute('role', 'status');

    this.#sections = [
      ...(contents.notice ? [noticed(contents.notice)] : []),
      ...(source.old ? [oldResults(contents.unloaded)] : []),
      [this.form.element, (shown) => this.form.show(shown.question, shown.answer)],
      [plate, (shown) => this.#showPlate(shown, list, further)],
      [
        edition.element,
        (shown) => {
          full.href = shown.full;
          edition.show(shown.answer, shown.compact);
        },
      ],
      [copy],
      [take.element, (shown) => take.show(shown)],
      [beside.element, (shown) => this.#showPanels(shown, beside, packs)],
      [packs.element],
      [sure.element, (shown) => sure.show(shown.answer)],
      [runs.element, (shown) => runs.show(shown.question)],
      [reminders.element, (shown) => reminders.show(shown.answer)],
      [table.element, (shown) => this.#showTable(shown, table)],
      ...(onPage ? [] : aboutResults(texts, contents).map((block) => /** @type {Section} */ ([block]))),
      [status],
    ];
    this.sheet.setAttribute('part', 'sheet');
    this.sheet.lang = source.catalogue.lang;
    this.sheet.append(...this.#sections.map(([element]) => element));
  }

  /** Lets go of everything outside. */
  disconnect() {
    this.chart.disconnect();
    this.runs.close();
  }

  /** @param {Shown} shown */
  show(shown) {
    this.sheet.classList.toggle('compact', shown.compact);
    this.sheet.classList.toggle('open', shown.answer.list !== null);
    for (const [, show] of this.#sections) show?.(shown);
  }

  /**
   * @param {Shown} shown
   * @param {ReachingList} list
   * @param {Further} further
   */
  #showPlate(shown, list, further) {
    const { question, answer } = shown;
    this.#answer.show(answer, shown.compact);
    further.show(answer);
    this.chart.show({
      draw: (canvas, frame, look) =>
        this.#source.use((results) => results.draw(question, canvas, frame, look)),
      read: (frame) => this.#source.use((results) => results.readings(question, frame)),
      beside: question.beside ?? [],
    });
    if (!shown.compact) list.show(this.#fieldFor(question), answer);
  }

  /**
   * @param {Shown} shown
   * @param {SideBySide} beside
   * @param {PacksOnTool} packs
   */
  #showPanels({ question, compact }, beside, packs) {
    if (compact) return;
    const panels = this.#source.use((results) => results.panels(question));
    beside.show(panels.beside);
    packs.show(panels.packs, question);
  }

  /**
   * @param {Shown} shown
   * @param {PairsTable} table
   */
  #showTable({ question, answer, compact }, table) {
    if (!compact) table.show(this.#fieldFor(question), answer, answer.score);
  }

  /**
   * Says what is wrong with a question: beside the blanks it belongs to, else above the answer.
   * @param {QuestionProblem[]} problems
   */
  report(problems) {
    const rest = this.form.report(problems);
    this.#answer.fault(rest.map((problem) => problem.message).join(' '));
  }

  /**
   * All pairs for a question, asked for only where the answer may differ from the last.
   * @param {AskedQuestion} question
   * @returns {Field}
   */
  #fieldFor(question) {
    const all = { ...question, tool: null, pack: null, beside: [] };
    const key = JSON.stringify(all);
    if (!this.#table || key !== this.#field) {
      this.#table = this.#source.use((results) => results.table(all));
      this.#field = key;
    }
    return this.#table;
  }
}

/**
 * The notice of invented data.
 * @param {string} text
 * @returns {Section}
 */
function noticed(text) {
  const notice = made('p', 'notice', text);
  notice.setAttribute('part', 'notice');
  return [notice];
}

/**
 * Said where the results did not load and those of the page are shown.
 * @param {string} text
 * @returns {Section}
 */
function oldResults(text) {
  return [made('p', 'fault', text)];
}
