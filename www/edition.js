/**
 * Which edition answers, what editions changed, and how it was measured.
 */

import { fill, made, picker, pressable } from './dom.js';
import { passageOf } from './runs.js';

/**
 * @typedef {import('./jobtorque.js').Contents} ContentsTold
 * @typedef {import('./jobtorque.js').Answer} AnswerOfEdition
 * @typedef {import('./dom.js').Choice} ChosenEdition
 */

/** The edition that answers, to be chosen where there are several. */
export class EditionLine {
  element = made('p', 'edition');
  #name = made('span', '');
  #select;
  #outdated = made('span', '');
  #newest;
  #contents;

  /**
   * @param {Record<string, string>} texts
   * @param {ContentsTold} contents
   * @param {(choice: ChosenEdition) => void} choose
   */
  constructor(texts, contents, choose) {
    this.#contents = contents;
    const [newest] = contents.editions;
    const choice = (/** @type {string} */ number) =>
      choose({ edition: number === String(newest?.edition) ? null : number });
    this.#select = picker('edition', texts['edition.label'] ?? '', choice);
    fill(
      this.#select,
      contents.editions.map(({ edition, name }) => [String(edition), name]),
    );
    this.#newest = pressable('pair', texts['edition.newest'] ?? '', () => choose({ edition: null }));
    this.element.append(this.#select, this.#name, ' ', this.#outdated, ' ', this.#newest);
  }

  /**
   * @param {AnswerOfEdition} answer
   * @param {boolean} compact
   */
  show(answer, compact) {
    const told = this.#contents.editions.find(({ edition }) => edition === answer.edition);
    const several = this.#contents.editions.length > 1 && !compact;
    this.#select.value = String(answer.edition);
    this.#select.hidden = !several;
    this.#name.textContent = told?.name ?? '';
    this.#name.hidden = several;
    this.#outdated.textContent = told?.outdated ?? '';
    this.#outdated.hidden = this.#newest.hidden = !told?.outdated;
  }
}

/**
 * What follows every answer, where the page around does not say it: who paid, how it was measured,
 * what editions changed, how to cite.
 * @param {Record<string, string>} texts
 * @param {ContentsTold} contents
 */
export function aboutResults(texts, contents) {
  const block = (/** @type {string} */ key, /** @type {HTMLElement[]} */ parts) => {
    const details = made('details', 'about');
    details.append(made('summary', '', texts[key] ?? ''), ...parts);
    return details;
  };
  const paragraph = (/** @type {string} */ text) => made('p', '', text);
  const editions = contents.editions.flatMap(({ edition, name, lines }) => {
    const [heading, list] = passageOf(name, lines);
    heading.id = `edition-${edition}`;
    heading.tabIndex = -1;
    return [heading, list];
  });
  const measured = contents.measured.flatMap(({ heading, lines }) => passageOf(heading, lines));
  const summary = contents.summary ? [paragraph(contents.summary)] : [];
  return [
    block('section.measured', [...summary, ...measured]),
    block('section.editions', editions),
    block('section.data', contents.citation.map(paragraph)),
  ];
}

/**
 * Sentences in one paragraph. A sentence that says an edition corrected something leads there.
 * @param {HTMLElement} paragraph
 * @param {string[]} sentences
 * @param {ContentsTold} contents
 */
export function sayLeading(paragraph, sentences, contents) {
  const parts = sentences.flatMap((sentence) => {
    const told = contents.editions.find(({ corrected }) => corrected === sentence);
    return [told ? pressable('pair', sentence, () => lead(paragraph, told.edition)) : sentence, ' '];
  });
  paragraph.replaceChildren(...parts);
  paragraph.hidden = sentences.length === 0;
}

/**
 * Goes to what an edition changed: beside the paragraph, or else in the page around.
 * @param {HTMLElement} paragraph
 * @param {number} edition
 */
function lead(paragraph, edition) {
  const id = `edition-${edition}`;
  const root = paragraph.getRootNode();
  const own = root instanceof ShadowRoot ? root.getElementById(id) : null;
  const place = own ?? document.getElementById(id);
  const details = own?.closest('details');
  if (details) details.open = true;
  place?.scrollIntoView();
  place?.focus({ preventScroll: true });
}
