/**
 * Reading a chart: under the pointer, by touch, and by keyboard. What the curves read at each time
 * comes from outside; here it is shown beside the place that is pointed at.
 *
 * For keyboard and speech it is a slider through time, which tells its reading as its value.
 */

import { made } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').Readings} Readings
 * @typedef {import('./jobtorque.js').Reading} Reading
 */

/** The marks of curves as letters, by how they are drawn. */
const MARKS = { full: '●', dashed: '■', dotted: '▲', dashdot: '◆', dashdots: '▼' };

/** The same of estimates. */
const HOLLOW = { full: '○', dashed: '□', dotted: '△', dashdot: '◇', dashdots: '▽' };

/**
 * The mark of a curve, as a letter.
 * @param {{ kind: keyof typeof MARKS, estimate: boolean }} curve
 */
export const letterOf = ({ kind, estimate }) => (estimate ? HOLLOW : MARKS)[kind];

/** Distance of the words from the place they tell of, in CSS pixels. */
const AWAY_PX = 14;

/** How many charts can be read, so that each has its own words of help. */
let charts = 0;

/** The reading of one chart. */
export class ChartReading {
  slider = made('input', 'time');
  element = made('div', 'reading');
  /** Of each curve, by its kind. @type {Map<string, string>} */
  #letters = new Map();
  #plot;
  #line = made('div', 'at');
  #box = made('div', 'box');
  #help = made('span', 'unseen');
  /** @type {(() => Readings) | null} */
  #read = null;
  /** @type {Readings | null} */
  #readings = null;

  /**
   * @param {Record<string, string>} texts
   * @param {HTMLElement} plot where the chart is drawn
   * @param {import('./dom.js').Tried} tried
   */
  constructor(texts, plot, tried) {
    this.#plot = plot;
    const { slider, element } = this;
    slider.type = 'range';
    slider.min = '0';
    slider.setAttribute('aria-label', texts['chart.read'] ?? '');
    this.#help.textContent = texts['chart.read.help'] ?? '';
    charts += 1;
    this.#help.id = `chart-help-${charts}`;
    slider.setAttribute('aria-describedby', this.#help.id);
    element.setAttribute('aria-hidden', 'true');
    element.hidden = true;
    element.append(this.#line, this.#box);
    plot.append(element, slider, this.#help);
    const rest = () => tried(() => this.#rest());
    plot.addEventListener('pointermove', (event) => tried(() => this.#show(this.#under(event))));
    plot.addEventListener('pointerup', (event) => tried(() => this.#hold(this.#under(event))));
    plot.addEventListener('pointerleave', rest);
    // Otherwise pressing takes the focus away.
    plot.addEventListener('mousedown', (event) => event.preventDefault());
    slider.addEventListener('focus', rest);
    slider.addEventListener('blur', () => this.hide());
    slider.addEventListener('input', rest);
    slider.addEventListener('keydown', ({ key }) => {
      if (key === 'Escape') this.hide();
    });
  }

  /**
   * A chart was drawn; this tells what it reads. What is shown now is shown anew.
   * @param {import('./jobtorque.js').View} view
   * @param {() => Readings} read
   * @param {boolean} same whether only its size or its colours are new
   */
  follow(view, read, same) {
    this.#line.style.top = `${view.top_px}px`;
    this.#line.style.height = `${view.bottom_px - view.top_px}px`;
    this.#read = read;
    this.#readings = null;
    this.#letters = new Map(view.curves.map((curve) => [curve.kind, letterOf(curve)]));
    if (!this.element.hidden) this.#rest();
    else if (!same) this.slider.removeAttribute('aria-valuetext');
  }

  hide() {
    this.element.hidden = true;
  }

  /** @returns {Readings | null} */
  #loaded() {
    if (!this.#readings && this.#read) {
      this.#readings = this.#read();
      const { steps, first } = this.#readings;
      this.slider.max = String(steps.length - 1);
      if (!this.slider.hasAttribute('aria-valuetext')) this.slider.value = String(first);
    }
    return this.#readings;
  }

  /**
   * The place of the reading under a pointer.
   * @param {PointerEvent} event
   */
  #under(event) {
    const steps = this.#loaded()?.steps ?? [];
    const [start, end] = [steps.at(0)?.x_px ?? 0, steps.at(-1)?.x_px ?? 1];
    const x = event.clientX - this.#plot.getBoundingClientRect().left;
    const place = Math.round(((x - start) / (end - start)) * (steps.length - 1));
    return Math.max(0, Math.min(place, steps.length - 1));
  }

  /**
   * Stays at a reading until another is asked for.
   * @param {number} place
   */
  #hold(place) {
    this.slider.value = String(place);
    this.slider.focus({ preventScroll: true });
    this.#rest();
  }

  /** Shows the reading of the slider, or none if it is not in use. */
  #rest() {
    if (!this.slider.matches(':focus')) {
      this.hide();
      return;
    }
    const steps = this.#loaded()?.steps ?? [];
    const place = Number(this.slider.value);
    this.slider.setAttribute('aria-valuetext', steps[place]?.sentence ?? '');
    this.#show(place);
  }

  /** @param {number} place */
  #show(place) {
    const reading = this.#loaded()?.steps[place];
    this.element.hidden = !reading;
    if (!reading) return;
    const { x_px, time, curves } = reading;
    this.#line.style.left = `${x_px}px`;
    const rows = curves.map(({ kind, torque }) => made('div', kind, `${this.#letters.get(kind)} ${torque}`));
    this.#box.replaceChildren(made('div', '', time), ...rows);
    const dots = curves.map(({ kind, y_px }) => {
      const dot = made('div', `dot ${kind}`);
      dot.style.left = `${x_px}px`;
      dot.style.top = `${y_px}px`;
      return dot;
    });
    this.element.replaceChildren(this.#line, ...dots, this.#box);
    // Beside the place, on the side where there is more room.
    const width = this.#plot.clientWidth;
    const isLeft = x_px > width / 2;
    this.#box.style.left = isLeft ? '' : `${x_px + AWAY_PX}px`;
    this.#box.style.right = isLeft ? `${width - x_px + AWAY_PX}px` : '';
  }
}
