/**
 * The blocks of the element in their order, and the fixed words around them.
 */

import { AnswerBlock, Further, HowSure, Reminders } from './answer.js';
import { Chart } from './chart.js';
import { PacksOnTool, SideBySide } from './compare.js';
import { EditionLine, aboutResults } from './edition.js';
import { made } from './dom.js';
import { OthersList } from './others.js';
import { RunsBehind, RunsPanel } from './runs.js';
import { SentenceForm } from './form.js';
import { PairsTable } from './table.js';
import { TakeRow } from './share.js';

/**
 * @typedef {import('./jobtorque.js').Contents} AllContents
 * @typedef {import('./jobtorque.js').Question} AskedQuestion
 * @typedef {import('./jobtorque.js').Answer} GivenAnswer
 * @typedef {import('./dom.js').Choice} Chosen
 */

/**
 * What the sections show.
 * @typedef {object} Shown
 * @property {AskedQuestion} question
 * @property {GivenAnswer} answer
 * @property {import('./jobtorque.js').Panels | null} panels what stands beside it; `null` where it is compact
 * @property {[string, string | null][]} choice the attributes that make up the question
 * @property {boolean} passing whether the next answer follows at once: what stands beside and below waits for it
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
  #others;
  #table;
  #tried;
  /** What was asked for last. @type {Shown | null} */
  #shown = null;

  /**
   * @param {import('./engine.js').Source} source
   * @param {AllContents} contents
   * @param {(choice: Chosen, passing?: boolean) => void} choose
   * @param {boolean} onPage whether the page around says who measured, and how
   * @param {import('./dom.js').Tried} tried
   */
  constructor(source, contents, choose, onPage, tried) {
    const { texts, units } = source.catalogue;
    this.#tried = tried;
    this.#answer = new AnswerBlock(contents);
    this.chart = new Chart(texts, choose, tried);
    this.runs = new RunsBehind(source, choose, tried);
    const { chart, runs, status } = this;
    this.contents = contents;
    this.#source = source;
    this.form = new SentenceForm(
      source.catalogue,
      contents,
      (text, question) => {
        /** @type {import('./jobtorque.js').Found} */
        let found = { jobs: [], tools: [] };
        tried(() => {
          found = source.use((results) => results.found(text, question));
        });
        return found;
      },
      choose,
    );
    this.#others = new OthersList(texts, choose);
    this.#table = new PairsTable(texts, units, choose, (row, element) => {
      const panel = new RunsPanel(source, choose, tried);
      element.append(panel.element);
      const asked = this.#shown?.question;
      if (asked) tried(() => panel.show({ ...asked, tool: row.tool, pack: row.pack }));
      return () => panel.close();
    });
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
    const take = new TakeRow(source, chart, onPage, tried, (message) => (status.textContent = message));
    const top = made('div', 'top');
    if (contents.notice) top.append(noticed(contents.notice));
    if (source.old) top.append(made('p', 'fault', contents.unloaded));
    top.append(this.form.element);
    const plate = made('div', 'plate');
    const further = new Further();
    plate.append(
      top,
      this.#answer.element,
      this.#answer.cautions,
      this.#others.element,
      chart.element,
      further.element,
      this.#answer.small,
    );
    status.setAttribute('role', 'status');

    this.#sections = [
      [plate, (shown) => this.#showPlate(shown, further)],
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
      [this.#table.element],
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
    this.#table.close();
  }

  /**
   * A job that cannot be read stands in its blank, and nothing answers another one in its place.
   * @param {string} job
   * @param {Shown['answer']} answer to the question without it
   */
  leaveOpen(job, answer) {
    this.form.showJob(job, answer);
    this.sheet.classList.add('unanswered');
  }

  /** @param {Shown} shown */
  show(shown) {
    this.sheet.classList.remove('unanswered');
    this.sheet.classList.toggle('compact', shown.compact);
    this.sheet.classList.toggle('open', shown.answer.of !== null);
    const [plate, ...others] = this.#sections;
    plate?.[1]?.(shown);
    if (shown.passing) {
      this.#shown = shown;
      return;
    }
    for (const [, show] of others) show?.(shown);
    this.#soon(shown);
  }

  /**
   * Shows the lists at once where nothing is shown yet; later after the next frame, so that the
   * answer and the chart need not wait for them. Places by torque always come after the next frame.
   * @param {Shown} shown
   */
  #soon(shown) {
    const first = this.#shown === null;
    this.#shown = shown;
    if (shown.compact) return;
    if (first) this.#showLists(shown);
    requestAnimationFrame(() =>
      setTimeout(() => {
        if (this.#shown !== shown) return;
        this.#tried(() => {
          if (!first) this.#showLists(shown);
          this.chart.showPlaces();
        });
      }),
    );
  }

  /** @param {Shown} shown */
  #showLists({ question, answer }) {
    const { choices, table } = this.#source.use((results) => results.lists(question));
    this.#others.show(choices, question);
    this.#table.show(table, question, answer.score);
  }

  /**
   * @param {Shown} shown
   * @param {Further} further
   */
  #showPlate(shown, further) {
    const { question, answer } = shown;
    this.form.show(question, answer);
    this.#answer.show(answer, shown.compact);
    further.show(answer);
    this.chart.show({
      draw: (canvas, frame, look) =>
        this.#source.use((results) => results.draw(question, canvas, frame, look)),
      read: (frame) => this.#source.use((results) => results.readings(question, frame)),
      question,
      pull: {
        at: (frame, y) => this.#source.use((results) => results.job_at(question, frame, y)),
        stepped: (steps) => this.#source.use((results) => results.job_stepped(question, steps)),
        direction: answer.direction,
      },
      places: shown.compact
        ? null
        : {
            draw: (canvas, frame, look) =>
              this.#source.use((results) => results.draw_places(question, canvas, frame, look)),
            at: (frame, x) => this.#source.use((results) => results.job_across(question, frame, x)),
          },
    });
  }

  /**
   * @param {Shown} shown
   * @param {SideBySide} beside
   * @param {PacksOnTool} packs
   */
  #showPanels({ question, panels }, beside, packs) {
    if (!panels) return;
    beside.show(panels.beside);
    packs.show(panels.packs, question);
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
