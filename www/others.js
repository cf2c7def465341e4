/**
 * The pairs that reach the job, in the order that the visitor picks, or those that come closest.
 */

import { fill, made, picker, pressable, unbroken } from './dom.js';
import { overlay, pairButton, pairKey, refill } from './pairs.js';

/**
 * @typedef {import('./jobtorque.js').WordedChoices} WordedChoices
 * @typedef {import('./jobtorque.js').WordedChoice} WordedChoice
 * @typedef {import('./jobtorque.js').Question} ReachQuestion
 */

/** The list of them. */
export class OthersList {
  element = made('section', 'others');
  #texts;
  #chosen;
  #heading = made('h2', '');
  #order;
  #notes = made('div', 'notes');
  #list = made('ul', '');
  #legend = made('p', 'legend');
  #all = pressable('onwards', '', () => this.#openAll());
  /** The mark of its curve in each entry, empty where none is drawn, by tool and pack. @type {Map<string, HTMLElement>} */
  #marks = new Map();
  /** Whether all are shown, however many. */
  #open = false;

  /**
   * @param {Record<string, string>} texts
   * @param {(choice: import('./dom.js').Choice) => void} chosen
   */
  constructor(texts, chosen) {
    this.#texts = texts;
    this.#chosen = chosen;
    this.element.setAttribute('part', 'list');
    this.#order = picker('order', texts['choices.order'] ?? '', (order) => chosen({ order: order || null }));
    const head = made('div', 'head');
    head.append(this.#heading, this.#order);
    this.element.append(head, this.#notes, this.#list, this.#all, this.#legend);
  }

  /**
   * @param {WordedChoices} choices
   * @param {ReachQuestion} question
   */
  show(choices, question) {
    this.#heading.textContent = choices.caption;
    fill(
      this.#order,
      choices.orders.map(({ value, text }) => [value, text]),
    );
    this.#order.value = choices.order;
    this.#order.hidden = choices.empty !== null;
    const notes = [choices.empty, ...choices.notes].filter((text) => text !== null);
    this.#notes.replaceChildren(...notes.map((text) => made('p', '', text)));
    this.#marks = new Map(choices.rows.map((row) => [keyOf(row), made('span', '')]));
    const items = choices.rows.map((row) => this.#item(row, question));
    refill(this.#list, items);
    this.#legend.replaceChildren(markUnbeaten(), ` ${choices.legend ?? ''}`);
    this.#legend.hidden = choices.legend === null;
    this.#all.textContent = choices.open_all ?? '';
    this.#all.hidden = choices.open_all === null || this.#open;
    this.element.hidden = choices.rows.length === 0 && choices.empty === null;
  }

  /**
   * @param {WordedChoice} row
   * @param {ReachQuestion} question
   */
  #item(row, question) {
    const item = made('li', '');
    item.dataset.pair = pairKey(row);
    const name = made('span', '');
    name.append(this.#marks.get(keyOf(row)) ?? '');
    if (row.marked) name.append(markUnbeaten(), ' ');
    name.append(pairButton(row.name, row, this.#chosen));
    if (row.marked) name.append(made('span', 'unseen', ` (${this.#texts['choices.marked'] ?? ''})`));
    const cells = row.cells.map((text) => {
      const cell = made('span', 'figures');
      cell.append(...unbroken(text, /(\d\S* \S+)/));
      return cell;
    });
    item.append(name, ...cells);
    item.append(...overlay(this.#texts['packs.beside'] ?? '', row.name, row, question, this.#chosen));
    item.hidden = !row.at_first && !this.#open;
    return item;
  }

  /**
   * Puts the mark of each curve that is drawn beside its pair; says whether every curve has its entry.
   * @param {import('./chart-words.js').DrawnPair[]} curves
   */
  mark(curves) {
    for (const mark of this.#marks.values()) mark.textContent = '';
    return curves.every(({ ids, kind, letter }) => {
      const mark = this.#marks.get(keyOf(ids));
      if (mark) {
        mark.className = kind;
        mark.textContent = `${letter} `;
        mark.setAttribute('aria-hidden', 'true');
      }
      return mark !== undefined;
    });
  }

  #openAll() {
    this.#open = true;
    this.#all.hidden = true;
    const folded = [...this.#list.children].filter((item) => item instanceof HTMLElement && item.hidden);
    for (const item of folded) if (item instanceof HTMLElement) item.hidden = false;
    folded[0]?.querySelector('button')?.focus();
  }
}

/**
 * A pair as a key.
 * @param {{ tool: string, pack: string }} pair
 */
function keyOf({ tool, pack }) {
  return `${tool}/${pack}`;
}

/** The mark of a pair that no other beats; the words say so for those who do not see it. */
function markUnbeaten() {
  const mark = made('span', 'unbeaten', '◆');
  mark.setAttribute('aria-hidden', 'true');
  return mark;
}
