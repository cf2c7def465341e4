/**
 * The blocks of the element in their order, and the fixed words around them.
 */

import { AnswerBlock, HowSure } from './answer.js';
import { Chart } from './chart.js';
import { SentenceForm, made } from './form.js';
import { PairsTable, ReachingList } from './table.js';

/**
 * @typedef {import('./jobtorque.js').Contents} AllContents
 * @typedef {import('./jobtorque.js').WordedTable} Field
 * @typedef {import('./jobtorque.js').Question} AskedQuestion
 * @typedef {import('./form.js').Choice} Chosen
 */

/** What stands in the shadow root. */
export class Blocks {
  sheet = made('div', 'sheet');
  answer = new AnswerBlock();
  chart = new Chart();
  status = made('p', 'status');
  reminders = made('ul', '');
  reminded = made('details', 'reminders');
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
    this.contents = contents;
    this.form = new SentenceForm(source.catalogue, contents, choose);
    this.list = new ReachingList(texts, choose);
    this.table = new PairsTable(texts, choose);
    this.sure = new HowSure(texts['section.how_sure'] ?? '');
    this.full = onPage ? made('span', '') : made('a', 'onwards', texts['section.full'] ?? '');
    this.full.setAttribute('part', 'full');
    const edition = made('p', 'edition', `${contents.edition} `);
    edition.append(this.full);
    this.status.setAttribute('role', 'status');
    this.reminded.append(made('summary', '', texts['section.cautions'] ?? ''), this.reminders);
    this.sheet.setAttribute('part', 'sheet');
    this.sheet.lang = source.catalogue.lang;
    if (contents.notice) this.sheet.append(noticed(contents.notice));
    const plate = made('div', 'plate');
    plate.append(this.list.element, this.chart.element);
    this.sheet.append(
      this.form.element,
      this.answer.element,
      plate,
      edition,
      this.sure.element,
      this.reminded,
      this.table.element,
    );
    if (!onPage) this.sheet.append(...about(texts, contents));
    this.sheet.append(this.status);
  }

  /**
   * All pairs for a question, asked for only where the answer may differ from the last.
   * @param {import('./engine.js').Source} source
   * @param {AskedQuestion} question
   * @returns {Field}
   */
  field(source, question) {
    const all = { ...question, tool: null, pack: null };
    const key = JSON.stringify(all);
    if (!this.#table || key !== this.#field) {
      this.#table = source.use((results) => results.table(all));
      this.#field = key;
    }
    return this.#table;
  }
}

/**
 * The notice of invented data.
 * @param {string} text
 */
function noticed(text) {
  const notice = made('p', 'notice', text);
  notice.setAttribute('part', 'notice');
  return notice;
}

/**
 * Who measured, who paid, and under which licence the figures stand.
 * @param {Record<string, string>} texts
 * @param {AllContents} contents
 */
function about(texts, contents) {
  const block = (/** @type {string} */ key, /** @type {(string | null)[]} */ lines) => {
    const details = made('details', 'about');
    const paragraphs = lines.filter((line) => line !== null).map((line) => made('p', '', line));
    details.append(made('summary', '', texts[key] ?? ''), ...paragraphs);
    return details;
  };
  return [
    block('section.measured', [contents.summary, contents.disclosure]),
    block('section.data', [contents.title, contents.publisher, contents.edition, contents.license]),
  ];
}
