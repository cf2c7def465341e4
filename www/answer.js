/**
 * The answer in words, as they come.
 */

import { made } from './form.js';

/**
 * @typedef {import('./jobtorque.js').Answer} ShownAnswer
 */

/** The block of the answer. */
export class AnswerBlock {
  element = made('section', 'answer');
  #fault = made('p', 'fault');
  #before = made('div', 'before');
  #headline = made('p', 'headline');
  #lines = made('p', 'lines');
  #cautions = made('p', 'caution');
  #warnings = made('p', 'warnings');

  constructor() {
    this.element.setAttribute('part', 'answer');
    this.#fault.setAttribute('part', 'fault');
    this.#headline.setAttribute('part', 'headline');
    this.#cautions.setAttribute('part', 'cautions');
    this.#fault.hidden = true;
    this.element.append(
      this.#fault,
      this.#before,
      this.#headline,
      this.#lines,
      this.#cautions,
      this.#warnings,
    );
  }

  /**
   * @param {ShownAnswer} answer
   * @param {boolean} compact
   */
  show(answer, compact) {
    this.#before.replaceChildren(...answer.before.map((text) => made('p', 'caution', text)));
    this.#headline.textContent = answer.headline;
    say(this.#lines, answer.lines);
    say(this.#cautions, compact ? answer.cautions.slice(0, 1) : answer.cautions);
    say(this.#warnings, compact ? [] : answer.warnings);
  }

  /**
   * Says why a question has no answer; the answer before it stays. Nothing to say hides it.
   * @param {string} message
   */
  fault(message) {
    this.#fault.textContent = message;
    this.#fault.hidden = !message;
  }
}

/**
 * Sentences in one paragraph.
 * @param {HTMLElement} paragraph
 * @param {string[]} sentences
 */
function say(paragraph, sentences) {
  paragraph.textContent = sentences.join(' ');
  paragraph.hidden = sentences.length === 0;
}
