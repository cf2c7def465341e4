/**
 * The answer in words, as they come.
 */

import { sayLeading } from './edition.js';
import { joined, made, unbroken } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').Answer} ShownAnswer
 * @typedef {import('./jobtorque.js').Contents} ContentsAround
 */

/** The answer, the caution that belongs to it, and the warnings about its runs: they stand apart on a page. */
export class AnswerBlock {
  element = made('section', 'answer');
  cautions = made('p', 'caution');
  warnings = made('p', 'warnings');
  #before = made('div', 'before');
  headline = made('h2', 'headline');
  #checks = made('div', 'checks');
  #lines = made('div', 'lines');

  /** @param {ContentsAround} contents */
  constructor(contents) {
    this.contents = contents;
    this.element.setAttribute('part', 'answer');
    this.headline.setAttribute('part', 'headline');
    this.cautions.setAttribute('part', 'cautions');
    this.#checks.setAttribute('part', 'checks');
    this.element.append(this.#before, this.headline, this.#checks, this.#lines);
  }

  /** @param {ShownAnswer} answer */
  show(answer) {
    this.#before.replaceChildren(...answer.before.map((text) => made('p', 'caution', text)));
    this.headline.replaceChildren(...unbroken(answer.headline, /(\d\S* \S+)/));
    this.#checks.replaceChildren(...answer.checks.map((text) => made('p', 'check', joined(text))));
    this.#lines.replaceChildren(...answer.lines.map((line, i) => lineOf(line, i, answer.stressed)));
    say(this.cautions, answer.cautions);
    sayLeading(this.warnings, answer.warnings, this.contents);
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

/** Sentences behind a heading that opens: what the answer rests on, what to think of before starting. */
export class Behind {
  element;
  #sentences = made('ul', '');

  /**
   * @param {string} name its class
   * @param {string} summary
   */
  constructor(name, summary) {
    this.element = made('details', name);
    this.element.append(made('summary', '', summary), this.#sentences);
  }

  /** @param {string[]} sentences */
  show(sentences) {
    this.#sentences.replaceChildren(...sentences.map((text) => made('li', '', joined(text))));
    this.element.hidden = sentences.length === 0;
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
