/**
 * Two pairs side by side, and the packs on the chosen tool, as small tables in words.
 */

import { joined, made, pressable } from './dom.js';
import { overlay, pairKey, pairName, refill } from './pairs.js';

/**
 * @typedef {import('./jobtorque.js').Panel} Panel
 * @typedef {import('./jobtorque.js').PanelRow} PanelRow
 * @typedef {import('./jobtorque.js').Question} PanelQuestion
 * @typedef {import('./dom.js').Choice} PanelChoice
 */

/** The chosen pair, and each pair laid beside it. */
export class SideBySide {
  element = made('section', 'beside');
  #heading;

  /** @param {string} heading */
  constructor(heading) {
    this.#heading = made('h2', '', heading);
    this.element.setAttribute('part', 'beside');
  }

  /** @param {Panel[]} panels */
  show(panels) {
    this.element.hidden = panels.length === 0;
    this.element.replaceChildren(this.#heading, ...panels.flatMap(sidesOf));
  }
}

/** The packs on the chosen tool; each may be chosen, or laid beside the chosen one. */
export class PacksOnTool {
  element = made('section', 'packs');
  #said = made('div', '');
  #list = made('ul', '');
  #texts;
  #chosen;

  /**
   * @param {Record<string, string>} texts
   * @param {(choice: PanelChoice) => void} chosen
   */
  constructor(texts, chosen) {
    this.#texts = texts;
    this.#chosen = chosen;
    this.element.setAttribute('part', 'packs');
    this.element.append(made('h2', '', texts['section.packs'] ?? ''), this.#said, this.#list);
  }

  /**
   * @param {Panel | null} panel
   * @param {PanelQuestion} question
   */
  show(panel, question) {
    this.element.hidden = panel === null;
    this.#said.replaceChildren(...saidIn(panel));
    refill(
      this.#list,
      (panel?.rows ?? []).map((row) => this.#pack(row, question)),
    );
  }

  /**
   * @param {PanelRow} row
   * @param {PanelQuestion} question
   */
  #pack(row, question) {
    const [name = '', line = '', sure = '', facts = ''] = row.cells;
    const pair = { tool: question.tool ?? '', pack: row.pack ?? '' };
    const item = made('li', '');
    item.dataset.pair = pairKey(pair);
    item.append(
      pressable('pair', name, () => this.#chosen({ pack: row.pack })),
      made('span', 'figures', joined(line)),
      ...overlay(this.#texts['packs.beside'] ?? '', name, pair, question, this.#chosen),
      ...[sure, facts].filter(Boolean).map((text) => made('small', 'figures', joined(text))),
    );
    if (row.pack === question.pack) item.setAttribute('aria-current', 'true');
    return item;
  }
}

/**
 * The sentences of a panel.
 * @param {Panel | null} panel
 */
function saidIn(panel) {
  if (!panel) return [];
  return [panel.headline, ...panel.lines].filter(Boolean).map((text) => made('p', '', joined(text)));
}

/**
 * Two pairs in a table: what is compared, one pair, the other, the difference and the ends of its
 * interval, which share a column.
 * @param {Panel} panel
 */
function sidesOf(panel) {
  const [headline = made('p', ''), ...lines] = saidIn(panel);
  headline.className = 'said';
  const table = made('table', '');
  const head = table.createTHead().insertRow();
  for (const text of panel.headings.slice(0, -1)) {
    const cell = made(text ? 'th' : 'td', 'figures');
    cell.append(...pairName(text));
    if (text) cell.setAttribute('scope', 'col');
    head.append(cell);
  }
  const body = table.createTBody();
  for (const { cells } of panel.rows) {
    const [what = '', first = '', second = '', difference = '', ends = ''] = cells;
    const name = made('th', '', joined(what));
    name.scope = 'row';
    const figures = [first, second, difference].map((text) => made('td', 'figures', text));
    if (ends) figures.at(-1)?.append(' ', made('small', '', ends));
    body.insertRow().append(name, ...figures);
  }
  return [headline, ...lines, table];
}
