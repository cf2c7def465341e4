/**
 * The answer in words, as they come.
 */

import { sayLeading } from './edition.js';
import { joined, made, unbroken } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').Answer} ShownAnswer
 * @typedef {import('./jobtorque.js').Contents} ContentsAround
 */

/** The answer, the cautions that belong to it, and the small print: they stand apart on a page. */
export class AnswerBlock {
  element = made('section', 'answer');
  cautions = made('p', 'caution');
  small = made('div', 'small');
  #before = made('div', 'before');
  #headline = made('p', 'headline');
  #checks = made('div', 'checks');
  #lines = made('div', 'lines');
  #asides = made('p', 'asides');
  #warnings = made('p', 'warnings');

  /** @param {ContentsAround} contents */
  constructor(contents) {
    this.contents = contents;
    this.element.setAttribute('part', 'answer');
    this.#headline.setAttribute('part', 'headline');
    this.cautions.setAttribute('part', 'cautions');
    this.#checks.setAttribute('part', 'checks');
    this.element.append(this.#before, this.#headline, this.#checks, this.#lines);
    this.small.append(this.#asides, this.#warnings);
  }

  /**
   * @param {ShownAnswer} answer
   * @param {boolean} compact
   */
  show(answer, compact) {
    this.#before.replaceChildren(...answer.before.map((text) => made('p', 'caution', text)));
    this.#headline.replaceChildren(...unbroken(answer.headline, /(\d\S* \S+)/));
    this.#checks.replaceChildren(...answer.checks.map((text) => made('p', 'check', joined(text))));
    this.#lines.replaceChildren(...answer.lines.map((line, i) => lineOf(line, i, answer.stressed)));
    say(this.cautions, compact ? answer.kept : answer.cautions);
    say(this.#asides, answer.asides);
    sayLeading(this.#warnings, answer.warnings, this.contents);
  }
}

/** What there is to know beside the answer. In little room it stands below the chart. */
export class Further {
  element = made('p', 'further');

  /** @param {ShownAnswer} answer */
  show(answer) {
    say(this.element, answer.further);
  }
}

/** How sure the answer is. It opens. On a phone it also holds what else stands beside the answer. */
export class HowSure {
  element = made('details', 'sure');
  #asides = made('p', 'asides');
  #warnings = made('p', 'warnings');
  #sentences = made('ul', '');

  /**
   * @param {string} summary
   * @param {ContentsAround} contents
   */
  constructor(summary, contents) {
    this.contents = contents;
    this.element.setAttribute('part', 'sure');
    this.element.append(made('summary', '', summary), this.#asides, this.#warnings, this.#sentences);
  }

  /** @param {ShownAnswer} answer */
  show(answer) {
    say(this.#asides, answer.asides);
    sayLeading(this.#warnings, answer.warnings, this.contents);
    this.#sentences.replaceChildren(...answer.sure.map((text) => made('li', '', joined(text))));
    this.element.hidden = answer.sure.length === 0;
  }
}

/** What to think of before starting. It opens. */
export class Reminders {
  element = made('details', 'reminders');
  #sentences = made('ul', '');

  /** @param {string} summary */
  constructor(summary) {
    this.element.append(made('summary', '', summary), this.#sentences);
  }

  /** @param {ShownAnswer} answer */
  show(answer) {
    this.#sentences.replaceChildren(...answer.reminders.map((text) => made('li', '', text)));
    this.element.hidden = answer.reminders.length === 0;
  }
}

/**
 * One line, with the figures that matter set apart.
 * @param {string} line
 * @param {number} place
 * @param {[number, number, number][]} stressed
 */
function lineOf(line, place, stressed) {
  const paragraph = made('p', '');
  const text = joined(line);
  let at = 0;
  for (const [, begin, end] of stressed.filter(([of]) => of === place)) {
    paragraph.append(text.slice(at, begin), made('b', '', text.slice(begin, end)));
    at = end;
  }
  paragraph.append(text.slice(at));
  return paragraph;
}

/**
 * Sentences in one paragraph.
 * @param {HTMLElement} paragraph
 * @param {string[]} sentences
 */
function say(paragraph, sentences) {
  paragraph.textContent = joined(sentences.join(' '));
  paragraph.hidden = sentences.length === 0;
}
