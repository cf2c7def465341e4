/**
 * `<job-torque>`: a sentence to fill in, and its answer. What stands inside the element is shown
 * until the first answer is there, and stays if there never is one.
 *
 * It writes in its own shadow root alone: what a visitor chooses is kept here and, on a page that asks
 * for it with `fragment`, in address, history and title, but never in the page's own body.
 */

import { Begun } from './begun.js';
import { Blocks } from './sections.js';
import { Choices, attributes, reflect } from './attributes.js';
import { LoadFault, isTrap, sourceOf } from './engine.js';
import { hasInside, tell, unloaded } from './inside.js';
import { linkTo, pressable } from './dom.js';
import { isProblem, isRefused } from './problems.js';
import { sharedSheet } from './stylesheet.js';
import { spareTexts } from './version.js';

/**
 * @typedef {import('./jobtorque.js').Contents} AllContents
 * @typedef {import('./jobtorque.js').Problem} Problem
 * @typedef {import('./jobtorque.js').Question} AskedQuestion
 * @typedef {import('./jobtorque.js').Answer} GivenAnswer
 * @typedef {import('./jobtorque.js').Panels} StandBeside
 * @typedef {import('./dom.js').Choice} Chosen
 */

/** Safe to load where there is no document. */
const Base = /** @type {typeof HTMLElement} */ (globalThis.HTMLElement ?? class {});

/**
 * @attr {string} src - Address of the dataset. Without it, the page's own blocks are used.
 * @attr {string} tool - Identifier of the tool; any tool if absent.
 * @attr {string} pack - Identifier of the pack; any that fits if absent.
 * @attr {string} beside - Pairs laid over the chart, as `tool/pack tool/pack`, in per cent signs where needed.
 * @attr {string} job - A torque with its unit, a bolt such as `M20 10.9`, or a job of the file by its identifier or name.
 * @attr {'loosen' | 'tighten'} direction - That of the job if absent.
 * @attr {string} condition - Factor on the torque of an aged fastener, or `checked`, that of nuts tried.
 * @attr {string} loss - Loss between tool and nut in per cent.
 * @attr {string} within - Time limit in seconds.
 * @attr {'typical' | 'best-of-three'} score - What places are counted by.
 * @attr {string} setup - Identifier of the setup; the first if absent.
 * @attr {string} rig - Identifier of the rig; the first if absent.
 * @attr {string} edition - Number of the edition; the newest if absent.
 * @attr {'n-m' | 'lbf-ft'} units - Unit of torque.
 * @attr {string} find - Words in the names of the pairs that are shown.
 * @attr {'small' | 'medium' | 'large'} size - Size of the tools that are shown.
 * @attr {string} mount - Mount of the packs that are shown.
 * @attr {'yes'} sold - Only tools that are still sold.
 * @attr {string} longest - Greatest length of the tools that are shown, in mm.
 * @attr {string} heaviest - Greatest mass of the pairs that are shown, in kg.
 * @attr {string} dearest - Highest price of the pairs that are shown.
 * @attr {'yes'} reaching - Only pairs that have the job within reach.
 * @attr {string} currency - Currency of the prices.
 * @attr {string} sort - Column that the table is sorted by; with a minus from the largest down.
 * @attr {'lightest' | 'shortest' | 'least-costly' | 'quickest'} order - What the pairs that reach the job are listed by.
 * @attr {'yes'} stated - Compares the peak with the maker's stated figure.
 * @attr {boolean} compact - Sentence, answer and chart alone.
 * @attr {'at-once'} start - Where `embed.js` is loaded, this element does not wait until it is touched.
 * @attr {string} saved - The day on which the page was saved, in a copy of a page.
 * @attr {boolean} fragment - Keeps the choice in address, history and title of the page.
 * @fires answer - The answer, as a plain object, in `detail`; for several pairs without their list, which `list()` gives.
 * @fires fault - What is wrong: in `detail`, a `message` for people and the `problems`.
 */
export class JobTorqueElement extends Base {
  static observedAttributes = attributes;

  #choices = new Choices(this);
  /** @type {import('./engine.js').Source | null} */
  #source = null;
  /** @type {ShadowRoot | null} */
  #root = null;
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

  connectedCallback() {
    if (this.#source) return;
    this.#readAddress();
    addEventListener('hashchange', this.#fromAddress);
    this.#start();
  }

  disconnectedCallback() {
    // An element that is moved comes back at once.
    queueMicrotask(() => {
      if (!this.isConnected) this.#stop();
    });
  }

  /**
   * @param {string} name
   * @param {string | null} before
   * @param {string | null} now
   */
  attributeChangedCallback(name, before, now) {
    if (before === now) return;
    this.#choices.yield(name);
    if (!this.#source) return;
    if (name === 'src') {
      this.#stop();
      this.connectedCallback();
    } else {
      this.#soon();
    }
  }

  /**
   * The answers for the pairs that the answer shown is about: those measured in rank order, then those
   * nobody ran that can be estimated. `null` for a single pair, and before there is an answer.
   * @returns {GivenAnswer[] | null}
   */
  list() {
    const question = this.#answered;
    const source = this.#source;
    if (!question || !source) return null;
    return source.use((results) => results.list(question)).list;
  }

  async #start() {
    const source = sourceOf(this.getAttribute('src') ?? '');
    this.#source = source;
    try {
      await source.open();
      if (this.#source === source) this.#refresh(false);
    } catch (fault) {
      if (this.#source === source) this.#giveUp(fault);
    }
  }

  #stop() {
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
    this.#fromLink = false;
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
        const whole = !passing && !this.hasAttribute('compact');
        const told = source.use((results) => results.ask(question, whole));
        const { answer } = told;
        this.#show(contents, { question, ...told, passing }, problems, byVisitor);
        if (passing) return;
        if (job !== undefined) this.#keepJob(job, answer);
        else this.dispatchEvent(new CustomEvent('answer', { detail: answer, bubbles: true, composed: true }));
        return;
      } catch (fault) {
        if (!isProblem(fault)) throw fault;
        problems.push(fault);
        // A link may ask for what is not there: it is said, and the rest is answered, but not for
        // another job. Once there is an answer, it stays until the question can be answered.
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
   * @param {AllContents} contents
   * @param {{ question: AskedQuestion, answer: GivenAnswer, title: string, panels: StandBeside | null, passing: boolean }} told
   * @param {Problem[]} problems
   * @param {boolean} byVisitor
   */
  #show(contents, told, problems, byVisitor) {
    const source = this.#source;
    if (!source) return;
    const begun = this.#blocks ? null : new Begun(this);
    const blocks = this.#blocks ?? this.#build(source, contents);
    const { answer } = told;
    this.#answered = told.question;
    blocks.show({
      ...told,
      choice: this.#choices.all,
      compact: this.hasAttribute('compact'),
      full: this.#fullAddress(),
    });
    begun?.carryOnIn(blocks.sheet);
    if (problems.length > 0) this.#report(problems);
    else {
      blocks.form.report([]);
      if (!byVisitor) blocks.status.textContent = '';
    }
    if (byVisitor && !told.passing) {
      if (blocks.status.textContent !== answer.sentence) blocks.status.textContent = answer.sentence;
      if (this.hasAttribute('fragment')) this.#choices.writeAddress();
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
    const blocks = this.#blocks;
    const message = problems.map((problem) => problem.message).join(' ');
    blocks?.form.report(problems);
    if (blocks) blocks.status.textContent = message;
    this.#fault(message, problems);
  }

  /**
   * @param {string} message
   * @param {Problem[]} problems
   */
  #fault(message, problems) {
    const detail = { message, problems };
    this.dispatchEvent(new CustomEvent('fault', { detail, bubbles: true, composed: true }));
  }

  /**
   * Nothing can be answered: the finished answer stays, or what stands inside the element is shown, with a
   * word why.
   * @param {unknown} fault
   */
  #giveUp(fault) {
    const refused = isRefused(fault) ? fault : null;
    const loading = fault instanceof LoadFault ? fault : null;
    const known = loading ? loading.catalogue?.texts : this.#source?.catalogue.texts;
    const texts = { ...spareTexts, ...known };
    const empty = this.childElementCount === 0;
    /** @type {string | undefined} */
    let text = refused?.message;
    if (loading?.key === 'error.other_version') {
      text = texts[loading.key]?.replace('{file}', loading.file);
    } else if (loading && loading.key !== 'error.live_part') {
      text = unloaded(this, loading.key, texts);
    } else if (loading || isTrap(fault)) {
      const inside = this.querySelector('table') ? 'error.live_part' : 'error.live_part_brief';
      text = texts[empty ? 'error.no_results' : inside];
    }
    if (text) {
      const isLate = loading && ['error.no_results', 'error.silent'].includes(loading.key);
      const button = isLate ? this.#again(texts) : null;
      const root = tell(this, text, button, () => this.#emptied());
      if (empty) root?.append(linkTo(this.#fullAddress(), texts['section.full'] ?? ''));
      if (this.#isTriedAgain) button?.focus();
    }
    this.#isTriedAgain = false;
    this.#blocks?.disconnect();
    this.#blocks = null;
    this.#fault(text ?? String(fault), refused?.problems ?? []);
    if (!text && !loading) throw fault;
  }

  /**
   * A button that loads everything again.
   * @param {Record<string, string>} texts
   */
  #again(texts) {
    const button = pressable('onwards', texts['load.again'] ?? '', () => {
      button.disabled = true;
      this.#isTriedAgain = true;
      this.#stop();
      this.connectedCallback();
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
    if (this.#blocks || this.hasAttribute('fragment') || !hasInside(this)) return false;
    const message = problems.map((problem) => problem.message).join(' ');
    tell(this, message, null, () => this.#emptied());
    this.#fromLink = this.#isKept = true;
    this.#fault(message, problems);
    return true;
  }

  /** The shadow root with nothing in it but the style. A copy of a page may bring one along. */
  #emptied() {
    this.#root ??= this.attachShadow({ mode: 'open' });
    this.#root.adoptedStyleSheets = [sharedSheet()];
    this.#root.replaceChildren();
    return this.#root;
  }

  /**
   * @param {import('./engine.js').Source} source
   * @param {AllContents} contents
   */
  #build(source, contents) {
    const choose = (/** @type {Chosen} */ choice, passing = false) => this.#choose(choice, passing);
    const tried = (/** @type {() => void | Promise<void>} */ work) => this.#tried(work);
    const blocks = new Blocks(source, contents, choose, this.hasAttribute('fragment'), tried);
    this.#blocks = blocks;
    this.#emptied().append(blocks.sheet);
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
    if (!this.hasAttribute('fragment')) return;
    this.#choices.readAddress();
    this.#fromLink = true;
    this.#soon();
  }

  /** This page, or the results page beside the dataset, at the same choice. */
  #fullAddress() {
    const beside = new URL('index.html', new URL(this.getAttribute('src') ?? '', document.baseURI));
    const page = this.hasAttribute('fragment') ? new URL(location.href) : beside;
    page.hash = this.#choices.fragment;
    return page.href;
  }
}

reflect(JobTorqueElement);
