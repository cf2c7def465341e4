/**
 * `<job-torque>`: a sentence to fill in, and its answer.
 */

import { Choices, attributes, reflect } from './attributes.js';

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
  /**
   * Makes what answers for an element.
   * @type {(element: JobTorqueElement, choices: Choices) => import('./answering.js').Answering}
   */
  static answering;

  #choices = new Choices(this);
  #answering = JobTorqueElement.answering(this, this.#choices);

  connectedCallback() {
    this.#answering.start();
  }

  disconnectedCallback() {
    // An element that is moved comes back at once.
    queueMicrotask(() => {
      if (!this.isConnected) this.#answering.stop();
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
    this.#answering.changed(name);
  }

  /**
   * The answers for the pairs that the answer shown is about: those measured in rank order, then those
   * nobody ran that can be estimated. `null` for a single pair, and before there is an answer.
   * @returns {import('./jobtorque.js').Answer[] | null}
   */
  list() {
    return this.#answering.list();
  }

  /**
   * Lets another answer from now on, as soon as it can. What was chosen and begun goes on.
   * @param {typeof JobTorqueElement.answering} answering
   */
  async passTo(answering) {
    const next = answering(this, this.#choices);
    if (await next.follow(this.#answering)) this.#answering = next;
  }
}

reflect(JobTorqueElement);
