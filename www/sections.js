/**
 * The blocks of the element in their order, and the fixed words around them.
 */

import { AnswerBlock, Further } from './answer.js';
import { BriefLine } from './brief.js';
import { Chart } from './chart.js';
import { EditionLine } from './edition.js';
import { blanks, made } from './dom.js';
import { Held } from './held.js';
import { sentencesOf } from './problems.js';
import { SentenceForm } from './form.js';

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
 * @property {string} title of a page that shows it
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
  /** Says which question an old answer is to. */
  #old = made('p', 'heading');
  status = made('p', 'status');
  #source;
  /** @type {Section[]} */
  #sections;
  /** What stands beside and below; `null` where it is not loaded. */
  #beneath;
  #tried;
  #brief;
  #held;
  #onPage;
  /** What was asked for last. @type {Shown | null} */
  #shown = null;

  /**
   * @param {import('./engine.js').Source} source
   * @param {AllContents} contents
   * @param {(choice: Chosen, passing?: boolean) => void} asked
   * @param {boolean} onPage whether the page around says who measured, and how
   * @param {import('./dom.js').Tried} tried
   * @param {typeof import('./beneath.js').Beneath | null} Beneath what stands beside and below, where it is loaded
   * @param {() => void} passOn the visitor began what takes the whole
   */
  constructor(source, contents, asked, onPage, tried, Beneath, passOn) {
    const { texts, units } = source.catalogue;
    const choose = (/** @type {Chosen} */ choice, passing = false) => {
      if (passing) asked(choice, true);
      else this.#choose(choice, asked);
    };
    this.#tried = tried;
    this.#onPage = onPage;
    this.#answer = new AnswerBlock(contents);
    this.chart = new Chart(texts, choose, tried);
    const { chart, status } = this;
    this.contents = contents;
    this.#source = source;
    this.form = new SentenceForm(
      source.catalogue,
      contents,
      (text, question) => {
        /** @type {import('./jobtorque.js').Found} */
        let found = { jobs: [], tools: [] };
        if (!Beneath) passOn();
        else
          tried(() => {
            found = source.use((results) => results.found(text, question));
          });
        return found;
      },
      choose,
    );
    const edition = new EditionLine(texts, contents, choose);
    const full = made('a', 'onwards', texts['section.full'] ?? '');
    full.setAttribute('part', 'full');
    if (!onPage) edition.element.append(' ', full);
    // The day of a copy stands in the page itself, as a sentence.
    const copy = made('slot', '');
    copy.name = 'copy';
    const say = (/** @type {string} */ message) => (status.textContent = message);
    const beneath = Beneath && new Beneath({ source, contents, choose, onPage, tried, chart, say });
    this.#beneath = beneath;
    const top = made('div', 'top');
    if (contents.notice) top.append(noticed(contents.notice));
    if (source.old) top.append(made('p', 'fault', contents.unloaded));
    top.append(this.form.element);
    const plate = made('div', 'plate');
    const further = new Further();
    this.#old.hidden = true;
    this.#answer.element.prepend(this.#old);
    plate.append(
      top,
      this.#answer.element,
      this.#answer.cautions,
      chart.element,
      further.element,
      this.#answer.warnings,
      ...(beneath ? [beneath.others] : []),
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
      ...(beneath?.elements ?? []).map((element) => /** @type {Section} */ ([element])),
      [status],
    ];
    this.sheet.setAttribute('part', 'sheet');
    this.sheet.lang = source.catalogue.lang;
    this.sheet.append(...this.#sections.map(([element]) => element));
    this.#held = new Held(this.sheet);
    this.#brief = new BriefLine(this.sheet, this.#answer.headline, texts['brief.show'] ?? '');
  }

  /** Lets go of everything outside. */
  disconnect() {
    this.chart.disconnect();
    this.#brief.disconnect();
    this.#beneath?.close();
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

  /**
   * The answer stays in view, in short, and what was pressed stays where it is.
   * @param {Chosen} choice
   * @param {(choice: Chosen) => void} asked
   */
  #choose(choice, asked) {
    const before = this.#shown;
    const top = this.#held.hold();
    asked(choice);
    if (this.#shown === before) this.#held.release();
    else this.#brief.offer(top);
  }

  /**
   * Says what is wrong with a question; nothing takes it back.
   * @param {import('./jobtorque.js').Problem[]} problems
   * @param {boolean} [isAnswered] whether an answer to what the visitor chose is announced in its place
   */
  report(problems, isAnswered = false) {
    this.form.report(problems);
    if (!isAnswered) this.announce(sentencesOf(problems));
  }

  /**
   * Tells those who do not see it.
   * @param {string} message
   */
  announce(message) {
    if (this.status.textContent !== message) this.status.textContent = message;
  }

  /** The question cannot be answered: the answer before stays, quieter, and says what it is to. */
  keepOld() {
    const answer = this.#shown?.answer;
    if (!answer || this.sheet.classList.contains('unanswered')) return;
    const { texts, units } = this.#source.catalogue;
    const unit = answer.units === 'n-m' ? units.newton_metre : units.pound_force_foot;
    const torque = made('span', 'blank', `${answer.job_torque} ${unit}`);
    const template = texts[answer.label ? 'section.old_pair' : 'section.old'] ?? '';
    this.#old.replaceChildren(...blanks(template, { torque, pair: answer.label }));
    this.#old.hidden = false;
    this.sheet.classList.add('old');
  }

  /** @param {Shown} shown */
  show(shown) {
    this.#old.hidden = true;
    this.sheet.classList.remove('unanswered', 'old');
    this.sheet.classList.toggle('compact', shown.compact);
    this.sheet.classList.toggle('open', shown.answer.of !== null);
    this.sheet.classList.toggle('estimated', shown.answer.basis === 'estimate');
    const [plate, ...others] = this.#sections;
    plate?.[1]?.(shown);
    this.#brief.say(shown.answer.brief);
    if (shown.passing) {
      this.#shown = shown;
      this.#markCurves();
      return;
    }
    for (const [, show] of others) show?.(shown);
    this.#beneath?.show(shown);
    if (this.#onPage) document.title = shown.title;
    this.#held.keep();
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
    if (shown.compact || !this.#beneath) return;
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

  /** The list is the key of the chart where it holds every curve. */
  #markCurves() {
    const listed = this.#beneath?.mark(this.chart.curves) ?? false;
    this.chart.element.classList.toggle('listed', listed);
  }

  /** @param {Shown} shown */
  #showLists(shown) {
    this.#beneath?.showLists(shown);
    this.#markCurves();
    this.#held.keep();
    // Once more after a frame: a browser may have moved it on its own.
    requestAnimationFrame(() => {
      this.#held.keep();
      this.#held.release();
    });
  }

  /**
   * @param {Shown} shown
   * @param {Further} further
   */
  #showPlate(shown, further) {
    const { question, answer } = shown;
    this.form.show(question, answer);
    this.#answer.show(answer);
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
