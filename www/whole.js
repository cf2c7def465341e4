/**
 * From the first part to the whole: once, however often it is asked for, and anew after a failure.
 */

/** What lets the whole take over. */
export class Whole {
  /** Whether the visitor asked what only the whole can answer. */
  isAsked = false;
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

  /**
   * Resolves when it has, or did not come.
   * @param {boolean} isAsked whether the visitor waits for it
   */
  take(isAsked) {
    this.isAsked ||= isAsked;
    this.#coming ??= this.#come();
    return this.#coming;
  }

  async #come() {
    try {
      await this.#load();
    } catch (cause) {
      this.#failed(cause, this.isAsked);
    }
    this.#coming = null;
    this.isAsked = false;
  }
}
