/**
 * Asks for what an element is set to, and shows the answer. What stands inside the element is shown
 * until the first answer is there, and stays if there never is one.
 *
 * It writes in the element's own shadow root alone: what a visitor chooses is kept by the element and, on
 * a page that asks for it with `fragment`, in address, history and title, but never in the page's own
 * body.
 */

import { Begun } from './begun.js';
import { Blocks } from './sections.js';
import { LoadFault, sourceOf } from './engine.js';
import { Inside } from './inside.js';
import { Whole } from './whole.js';
import { dispatch, linkTo, pressable } from './dom.js';
import { isProblem, isRefused, sentencesOf } from './problems.js';
import { spareTexts } from './version.js';
import { isLate, whyNotTheWhole, whyNothing, withoutTheWhole } from './why-nothing.js';

/**
 * @typedef {import('./attributes.js').Choices} Choices
 * @typedef {import('./jobtorque.js').Contents} AllContents
 * @typedef {import('./jobtorque.js').Problem} Problem
 * @typedef {import('./jobtorque.js').Question} AskedQuestion
 * @typedef {import('./jobtorque.js').Answer} GivenAnswer
 * @typedef {import('./jobtorque.js').Panels} StandBeside
 * @typedef {import('./dom.js').Choice} Chosen
 */

/** What answers for one element. */
export class Answering {
  #element;
  #choices;
  #beneath;
  /** What lets the whole take over; `null` where this is it. */
  #whole;
  /** @type {import('./engine.js').Source | null} */
  #source = null;
  #inside;
  /** @type {Blocks | null} */
  #blocks = null;
  #queued = false;
  /** The question of the answer shown. @type {AskedQuestion | null} */
  #answered = null;
  /** Whether the question is still as a link or a page gave it. */
  #fromLink = true;
  /** Whether the button that tries again was pressed: what comes in its place takes the focus. */
  #isTriedAgain = false;
  /** Whether what stands inside stays, for a job that cannot be read. */
  #isKept = false;
  #fromAddress = () => this.#readAddress();

  /**
   * @param {HTMLElement} element that shows the answers
   * @param {Choices} choices what it asks for
   * @param {typeof import('./beneath.js').Beneath | null} beneath what stands beside and below an answer, where it is loaded
   * @param {(() => Promise<void>) | null} passOn loads the whole and lets it take over; `null` where this is it
   */
  constructor(element, choices, beneath, passOn) {
    this.#element = element;
    this.#inside = new Inside(element);
    this.#choices = choices;
    this.#beneath = beneath;
    this.#whole = passOn && new Whole(passOn, (cause, isAsked) => this.#stay(cause, isAsked));
  }

  /** Begins to answer. */
  start() {
    if (this.#source) return;
    this.#readAddress();
    addEventListener('hashchange', this.#fromAddress);
    this.#open();
  }

  /** What another goes on with. */
  get passed() {
    return {
      source: this.#source,
      asked: this.#answered,
      isAsked: this.#whole?.isAsked,
      byVisitor: this.#whole?.byVisitor ?? false,
      fromLink: this.#fromLink,
      isTriedAgain: this.#isTriedAgain,
      root: this.#inside.root,
    };
  }

  /**
   * Goes on where another stops, once it can: with the answer that is shown, and with what could not be
   * answered.
   * @param {Answering} other of another script
   * @returns {Promise<boolean>} whether it goes on; the other may have stopped on its own
   */
  async follow(other) {
    const before = other.passed.source;
    if (!before) return false;
    const source = sourceOf(before.address);
    try {
      await source.open();
    } catch (fault) {
      source.close();
      throw fault;
    }
    const { asked, isAsked, byVisitor, fromLink, isTriedAgain, root } = other.passed;
    if (other.passed.source !== before) {
      source.close();
      return this.follow(other);
    }
    other.stop();
    addEventListener('hashchange', this.#fromAddress);
    this.#source = source;
    this.#inside.root = root;
    this.#fromLink = fromLink;
    this.#isTriedAgain = isTriedAgain;
    this.#tried(() => {
      if (asked) this.#showAgain(asked);
      if (isAsked || !asked) this.#refresh(byVisitor);
    });
    return true;
  }

  /** Another attribute. @param {string} name */
  changed(name) {
    if (!this.#source) return;
    if (name === 'src') {
      this.stop();
      this.start();
    } else {
      this.#soon();
    }
  }

  /** See `JobTorqueElement.list`. @returns {GivenAnswer[] | null} */
  list() {
    const question = this.#answered;
    const source = this.#source;
    if (!question || !source) return null;
    return source.use((results) => results.list(question)).list;
  }

  async #open() {
    const source = sourceOf(this.#element.getAttribute('src') ?? '', this.#choices.edition);
    this.#source = source;
    try {
      await source.open();
      if (this.#source === source) this.#refresh(false);
    } catch (fault) {
      if (this.#source === source && !this.#whole?.replaces(fault)) this.#giveUp(fault);
    }
  }

  /** Answers no more, and lets go of everything. */
  stop() {
    removeEventListener('hashchange', this.#fromAddress);
    this.#blocks?.disconnect();
    this.#blocks = null;
    this.#answered = null;
    this.#source?.close();
    this.#source = null;
  }

  /** Many changes, one answer. */
  #soon() {
    if (this.#queued) return;
    this.#queued = true;
    queueMicrotask(() => {
      this.#queued = false;
      if (this.#source && (this.#blocks || this.#isKept)) this.#tried(() => this.#refresh(false));
    });
  }

  /**
   * Does something that may trap twice, at once or later.
   * @param {() => void | Promise<void>} work
   */
  #tried(work) {
    try {
      work()?.catch((fault) => this.#giveUp(fault));
    } catch (fault) {
      this.#giveUp(fault);
    }
  }

  /**
   * Asks and shows what comes back.
   * @param {boolean} byVisitor
   * @param {boolean} [passing] whether the next question follows at once, as while something is dragged
   */
  #refresh(byVisitor, passing = false) {
    const source = this.#source;
    if (!source) return;
    const fromLink = this.#fromLink;
    const whole = this.#whole;
    const isFirst = this.#element.hasAttribute('compact') && this.#choices.isKnown;
    if (whole && !isFirst) return void whole.ask(byVisitor);
    const contents = this.#blocks?.contents ?? source.use((results) => results.contents());
    const misspelt = fromLink ? this.#choices.misspelt : [];
    const problems = misspelt.map((option) => source.unknown(option));
    /** @type {string | undefined} */
    let job;
    for (;;) {
      const question = this.#choices.question(contents.default_job);
      try {
        const unknown = this.#choices.unknown;
        if (unknown) throw source.unknown(unknown);
        const beside = !passing && !this.#element.hasAttribute('compact');
        const told = source.use((results) => results.ask(question, beside));
        const { answer } = told;
        this.#fromLink = false;
        this.#show(contents, { question, ...told, passing }, problems, byVisitor);
        if (passing) return;
        if (job !== undefined) this.#keepJob(job, answer);
        else dispatch(this.#element, 'answer', answer);
        return;
      } catch (fault) {
        if (!isProblem(fault)) throw fault;
        if (whole) return void whole.ask(byVisitor);
        problems.push(fault);
        // A link may ask for what is not there: it is said, and the rest is answered, but not for
        // another job. Once there is an answer, it stays until the question can be answered.
        this.#fromLink = false;
        const forgotten = fromLink ? this.#choices.forget(fault) : null;
        if (!forgotten) {
          this.#report(problems);
          this.#blocks?.keepOld();
          return;
        }
        if ('job' in forgotten && this.#keepInside(problems)) return;
        job ??= forgotten['job'];
      }
    }
  }

  /**
   * The whole did not come: the first part goes on.
   * @param {unknown} cause
   * @param {boolean} isAsked whether it had to answer
   */
  #stay(cause, isAsked) {
    if (!this.#blocks) this.#giveUp(withoutTheWhole(cause));
    else if (isAsked) this.#report([whyNotTheWhole(cause, this.#source?.catalogue.texts ?? {})]);
  }

  /**
   * Shows the answer to a question that was answered before.
   * @param {AskedQuestion} question
   */
  #showAgain(question) {
    const source = this.#source;
    if (!source) return;
    const contents = source.use((results) => results.contents());
    const told = source.use((results) => results.ask(question, !this.#element.hasAttribute('compact')));
    this.#show(contents, { question, ...told, passing: false }, [], false);
  }

  /**
   * @param {AllContents} contents
   * @param {{ question: AskedQuestion, answer: GivenAnswer, title: string, panels: StandBeside | null, passing: boolean }} told
   * @param {Problem[]} problems
   * @param {boolean} byVisitor
   */
  #show(contents, told, problems, byVisitor) {
    const source = this.#source;
    if (!source) return;
    const begun = this.#blocks ? null : new Begun(this.#element);
    const blocks = this.#blocks ?? this.#build(source, contents);
    const { answer } = told;
    this.#answered = told.question;
    blocks.show({
      ...told,
      choice: this.#choices.all,
      compact: this.#element.hasAttribute('compact'),
      full: this.#choices.fullAddress,
    });
    begun?.carryOnIn(blocks.sheet);
    if (problems.length > 0) this.#report(problems);
    else blocks.report([], byVisitor);
    if (byVisitor && !told.passing) {
      blocks.announce(answer.sentence);
      if (this.#element.hasAttribute('fragment')) this.#choices.writeAddress();
    }
  }

  /**
   * A job that cannot be read stays in its blank, as if it had been written there; a long one is
   * shortened, and what is hidden in it can be seen.
   * @param {string} job
   * @param {GivenAnswer} answer
   */
  #keepJob(job, answer) {
    this.#choices.choose({ job });
    const shown = this.#source?.use((results) => results.echoed(job)) ?? '';
    this.#blocks?.leaveOpen(shown, answer);
  }

  /**
   * Says what is wrong with a question.
   * @param {Problem[]} problems
   */
  #report(problems) {
    this.#blocks?.report(problems);
    dispatch(this.#element, 'fault', { message: sentencesOf(problems), problems });
  }

  /**
   * Nothing can be answered: the finished answer stays, or what stands inside the element is shown, with a
   * word why.
   * @param {unknown} fault
   */
  #giveUp(fault) {
    const texts = { ...spareTexts, ...this.#source?.catalogue.texts };
    const empty = this.#element.childElementCount === 0;
    const text = whyNothing(this.#element, fault, texts);
    if (text) {
      const button = isLate(fault) ? this.#again(texts['load.again'] ?? '') : null;
      const root = this.#inside.tell(text, button);
      if (empty) root?.append(linkTo(this.#choices.fullAddress, texts['section.full'] ?? ''));
      if (this.#isTriedAgain) button?.focus();
    }
    this.#isTriedAgain = false;
    this.#blocks?.disconnect();
    this.#blocks = null;
    const problems = isRefused(fault) ? fault.problems : [];
    dispatch(this.#element, 'fault', { message: text ?? String(fault), problems });
    if (!text && !(fault instanceof LoadFault)) throw fault;
  }

  /**
   * A button that loads everything again.
   * @param {string} text
   */
  #again(text) {
    const button = pressable('onwards', text, () => {
      button.disabled = true;
      this.#isTriedAgain = true;
      this.stop();
      this.start();
    });
    return button;
  }

  /**
   * The job of an article cannot be read: nothing answers another one, and what its author put there
   * stays, until the attribute is set anew.
   * @param {Problem[]} problems
   * @returns {boolean} whether there is something that stays
   */
  #keepInside(problems) {
    if (this.#blocks || this.#element.hasAttribute('fragment') || !this.#inside.isThere) return false;
    this.#inside.tell(sentencesOf(problems), null);
    this.#fromLink = this.#isKept = true;
    dispatch(this.#element, 'fault', { message: sentencesOf(problems), problems });
    return true;
  }

  /**
   * @param {import('./engine.js').Source} source
   * @param {AllContents} contents
   */
  #build(source, contents) {
    const choose = (/** @type {Chosen} */ choice, passing = false) => this.#choose(choice, passing);
    const tried = (/** @type {() => void | Promise<void>} */ work) => this.#tried(work);
    const onPage = this.#element.hasAttribute('fragment');
    const passOn = () => this.#whole?.take();
    const blocks = new Blocks(source, contents, choose, onPage, tried, this.#beneath, passOn);
    this.#blocks = blocks;
    this.#inside.emptied().append(blocks.sheet);
    blocks.chart.connect();
    if (this.#isTriedAgain) {
      blocks.sheet.tabIndex = -1;
      blocks.sheet.focus();
      this.#isTriedAgain = false;
    }
    return blocks;
  }

  /**
   * @param {Chosen} choice
   * @param {boolean} passing
   */
  #choose(choice, passing) {
    this.#choices.choose(choice);
    this.#tried(() => this.#refresh(true, passing));
  }

  #readAddress() {
    if (!this.#element.hasAttribute('fragment')) return;
    this.#choices.readAddress();
    this.#fromLink = true;
    this.#soon();
  }
}
