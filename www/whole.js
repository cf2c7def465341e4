/**
 * From the first part to the whole: once, however often it is asked for, and anew after a failure.
 */

import { isOfResults } from './engine.js';

/** What lets the whole take over. */
export class Whole {
  /** Whether something was asked that only the whole can answer, and whether by the visitor. */
  isAsked = false;
  byVisitor = false;
  #isComing = false;
  #load;
  #failed;

  /**
   * @param {() => Promise<void>} load loads the whole and lets it take over
   * @param {(cause: unknown, isAsked: boolean) => void} failed it did not come
   */
  constructor(load, failed) {
    this.#load = load;
    this.#failed = failed;
  }

  /** It may soon be needed. */
  async take() {
    if (this.#isComing) return;
    this.#isComing = true;
    try {
      await this.#load();
    } catch (cause) {
      this.#failed(cause, this.isAsked);
    }
    this.#isComing = this.isAsked = this.byVisitor = false;
  }

  /**
   * Lets it answer what the first part cannot for want of results: the whole reads others.
   * @param {unknown} fault
   * @returns {boolean} whether it does
   */
  replaces(fault) {
    const isIt = isOfResults(fault);
    if (isIt) this.ask(false);
    return isIt;
  }

  /**
   * It has to answer what was asked.
   * @param {boolean} byVisitor
   */
  ask(byVisitor) {
    this.isAsked = true;
    this.byVisitor ||= byVisitor;
    this.take();
  }
}
