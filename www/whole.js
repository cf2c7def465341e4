/**
 * From the first part to the whole: once, however often it is asked for, and anew after a failure.
 */

/** What lets the whole take over. */
export class Whole {
  /** Whether something was asked that only the whole can answer, and whether by the visitor. */
  isAsked = false;
  byVisitor = false;
  /** @type {Promise<void> | null} */
  #coming = null;
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

  /** Resolves when it has, or did not come. */
  take() {
    this.#coming ??= this.#come();
    return this.#coming;
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

  async #come() {
    try {
      await this.#load();
    } catch (cause) {
      this.#failed(cause, this.isAsked);
    }
    this.#coming = null;
    this.isAsked = this.byVisitor = false;
  }
}
