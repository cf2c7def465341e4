/**
 * What may be taken along: the link, the answer as text, the table, the chart, the page.
 */

import { made, pressable } from './dom.js';
import { pictureFrame, pictureOf, pictureRatio, placesFrame } from './chart-image.js';
import { pageText, savedPage } from './save.js';

/** How long a file is kept for the browser to fetch it. */
const KEPT_MS = 10_000;

/**
 * @typedef {import('./engine.js').Source} Results
 * @typedef {import('./sections.js').Shown} AnswerShown
 */

/** A row of quiet buttons, and a field for a text that the browser does not let into its clipboard. */
export class TakeRow {
  element = made('section', 'take');
  #field = made('textarea', '');
  #address = made('p', 'address');
  /** What was done, for those who see; it is announced as well. */
  #done = made('span', 'done');
  /** @type {AnswerShown | null} */
  #shown = null;
  #source;
  #tried;
  #announce;

  /**
   * @param {Results} source
   * @param {import('./chart.js').Chart} chart
   * @param {boolean} onPage whether the page around can be saved
   * @param {import('./dom.js').Tried} tried
   * @param {(message: string) => void} announce tells those who do not see what was done
   */
  constructor(source, chart, onPage, tried, announce) {
    this.#source = source;
    this.#tried = tried;
    this.#announce = announce;
    this.element.setAttribute('part', 'take');
    this.#field.readOnly = true;
    this.#field.hidden = true;
    const row = made('p', 'row');
    row.append(
      this.#button('take.link', (shown) => this.#copy(shown.full)),
      this.#button('take.text', (shown) => this.#copy(this.#taken(shown).text)),
      this.#button('take.table', (shown) => {
        const { name, csv } = this.#taken(shown);
        this.#download(`${name}.csv`, csv, 'text/csv;charset=utf-8');
      }),
      this.#button('take.chart', (shown) => this.#downloadPicture(shown, chart)),
    );
    if (onPage && pageText) {
      row.append(
        this.#button('take.page', (shown) => {
          const page = savedPage(shown.choice, (day) => this.#taken(shown, day));
          this.#download(page.name, page.text, 'text/html;charset=utf-8');
        }),
      );
    }
    this.#done.setAttribute('aria-hidden', 'true');
    row.append(this.#done);
    this.element.append(row, this.#field, this.#address);
  }

  /**
   * A new answer. A text that was selected for the one before goes.
   * @param {AnswerShown} shown
   */
  show(shown) {
    this.#shown = shown;
    this.#field.hidden = true;
    this.#done.textContent = '';
    // On paper; the place of a file on someone's disk is of use to nobody.
    this.#address.textContent = shown.full.startsWith('http') ? shown.full : '';
  }

  /**
   * @param {AnswerShown} shown
   * @param {string} [day]
   */
  #taken({ question }, day) {
    return this.#source.use((results) => results.take(question, day));
  }

  /** @param {string} key */
  #text(key) {
    return this.#source.catalogue.texts[key] ?? '';
  }

  /**
   * @param {string} key
   * @param {(shown: AnswerShown) => void | Promise<void>} work
   */
  #button(key, work) {
    const button = pressable('quiet', this.#text(key), () => {
      const shown = this.#shown;
      if (shown) this.#tried(() => work(shown));
    });
    button.name = key;
    button.setAttribute('part', 'button');
    return button;
  }

  /** @param {string} message */
  #say(message) {
    this.#done.textContent = message;
    this.#announce(message);
  }

  /** @param {string} text */
  async #copy(text) {
    try {
      await navigator.clipboard.writeText(text);
      this.#field.hidden = true;
      this.#say(this.#text('take.copied'));
    } catch {
      const refused = this.#text('take.refused');
      this.#field.value = text;
      this.#field.hidden = false;
      this.#field.setAttribute('aria-label', refused);
      this.#field.select();
      this.#say(refused);
    }
  }

  /**
   * @param {AnswerShown} shown
   * @param {import('./chart.js').Chart} chart
   */
  async #downloadPicture(shown, chart) {
    const drawing = chart.drawn(pictureFrame, placesFrame, pictureRatio);
    if (!drawing) return;
    const { name, credit } = this.#taken(shown);
    const { notice, asked, before, headline, cautions } = shown.answer;
    const texts = [...(notice ? [notice] : []), asked, ...before].map((text) => ({ text }));
    const small = [...cautions, credit].map((text) => ({ text, colour: drawing.quiet }));
    const picture = await pictureOf(drawing, [...texts, { text: headline, large: true }], small);
    if (picture) this.#download(`${name}.png`, picture, 'image/png');
  }

  /**
   * @param {string} name
   * @param {string | Blob} content
   * @param {string} type
   */
  #download(name, content, type) {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([content], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), KEPT_MS);
    this.#say(this.#text('take.saved'));
  }
}
