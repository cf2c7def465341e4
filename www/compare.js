/**
 * Two pairs side by side, and the packs on the chosen tool, as small tables in words.
 */

import { hasPair, withPair, withoutPair } from './beside.js';
import { made } from './form.js';

/**
 * @typedef {import('./jobtorque.js').Panel} Panel
 * @typedef {import('./jobtorque.js').PanelRow} PanelRow
 * @typedef {import('./jobtorque.js').Question} PanelQuestion
 * @typedef {import('./form.js').Choice} PanelChoice
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
  }

  /**
   * @param {Panel | null} panel
   * @param {PanelQuestion} question
   */
  show(panel, question) {
    this.element.hidden = panel === null;
    const heading = made('h2', '', this.#texts['section.packs'] ?? '');
    const list = made('ul', '');
    list.append(...(panel?.rows ?? []).map((row) => this.#pack(row, question)));
    const focused = this.#focused();
    this.element.replaceChildren(heading, ...saidIn(panel), list);
    const buttons = [...list.querySelectorAll('button')];
    buttons.find((button) => button.name === focused)?.focus();
  }

  /** The name of the button that has the focus: it keeps it when the list is made anew. */
  #focused() {
    const root = this.element.getRootNode();
    const active = root instanceof ShadowRoot ? root.activeElement : null;
    return active instanceof HTMLButtonElement && this.element.contains(active) ? active.name : '';
  }

  /**
   * @param {PanelRow} row
   * @param {PanelQuestion} question
   */
  #pack(row, question) {
    const [name = '', line = '', sure = '', facts = ''] = row.cells;
    const item = made('li', '');
    const button = made('button', 'pair', name);
    button.type = 'button';
    button.name = `choose ${row.pack}`;
    button.addEventListener('click', () => this.#chosen({ pack: row.pack }));
    item.append(button, made('span', 'figures', line));
    if (row.pack === question.pack) item.setAttribute('aria-current', 'true');
    else if (question.pack) item.append(this.#toggle(name, row.pack ?? '', question));
    item.append(...[sure, facts].filter(Boolean).map((text) => made('small', 'figures', text)));
    return item;
  }

  /**
   * @param {string} name
   * @param {string} pack
   * @param {PanelQuestion} question
   */
  #toggle(name, pack, question) {
    const pair = { tool: question.tool ?? '', pack };
    const beside = question.beside ?? [];
    const lies = hasPair(beside, pair);
    const button = made('button', 'lay', this.#texts['packs.beside'] ?? '');
    button.type = 'button';
    button.name = `lay ${pack}`;
    button.setAttribute('aria-pressed', String(lies));
    button.setAttribute('aria-description', name);
    button.addEventListener('click', () => this.#chosen((lies ? withoutPair : withPair)(beside, pair)));
    return button;
  }
}

/**
 * The sentences of a panel.
 * @param {Panel | null} panel
 */
function saidIn(panel) {
  if (!panel) return [];
  return [panel.headline, ...panel.lines].filter(Boolean).map((text) => made('p', '', text));
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
    const cell = made(text ? 'th' : 'td', 'figures', text);
    if (text) cell.setAttribute('scope', 'col');
    head.append(cell);
  }
  const body = table.createTBody();
  for (const { cells } of panel.rows) {
    const [what = '', first = '', second = '', difference = '', ends = ''] = cells;
    const name = made('th', '', what);
    name.scope = 'row';
    const figures = [first, second, difference].map((text) => made('td', 'figures', text));
    if (ends) figures.at(-1)?.append(' ', made('small', '', ends));
    body.insertRow().append(name, ...figures);
  }
  return [headline, ...lines, table];
}
