/**
 * The plot of places below a chart: the place of its pairs for a job of every torque. What stands where
 * comes from outside; its needed line is taken hold of like that of the chart.
 */

import { ChartGrip } from './chart-grip.js';
import { made } from './dom.js';
import { wordAt } from './chart-words.js';

/**
 * @typedef {import('./jobtorque.js').Places} Places
 * @typedef {import('./jobtorque.js').Viewport} PlacesFrame
 * @typedef {import('./jobtorque.js').Theme} PlacesLook
 * @typedef {(canvas: HTMLCanvasElement, frame: PlacesFrame, look: PlacesLook) => Places} DrawPlaces
 */

/** The plot of one chart. */
export class ChartPlaces {
  element = made('div', 'places');
  #plot = made('div', 'plot');
  #canvas = document.createElement('canvas');
  #words = made('div', 'words');
  #text = made('p', '');
  /** Whether it was ever drawn. */
  #drawn = false;
  #grip;

  /**
   * @param {import('./chart-grip.js').Held} held
   * @param {import('./dom.js').Tried} tried
   * @param {string} title what stands up its axis
   */
  constructor(held, tried, title) {
    this.#plot.dataset.title = title;
    this.#canvas.setAttribute('role', 'img');
    this.#words.setAttribute('aria-hidden', 'true');
    this.#plot.append(this.#canvas, this.#words);
    this.#grip = new ChartGrip({}, this.#plot, held, tried, true);
    this.element.append(this.#plot, this.#text);
    this.element.hidden = true;
  }

  /**
   * Keeps room for the plot until it is drawn first, so that nothing below it moves then.
   * @param {boolean} soon whether it will be drawn
   */
  expect(soon) {
    if (!soon) this.element.hidden = true;
    else if (!this.#drawn) this.element.hidden = false;
  }

  /**
   * The room of the plot.
   * @param {number | undefined} top the end of the torque axis while the needed line is dragged, in N·m
   * @returns {PlacesFrame}
   */
  frame(top) {
    const { clientWidth, clientHeight } = this.#plot;
    const text_px = parseFloat(getComputedStyle(this.#words).fontSize);
    return { width_px: clientWidth, height_px: clientHeight, text_px, runs: false, top_nm: top };
  }

  /**
   * Draws the plot for a picture; nothing where there is none.
   * @param {DrawPlaces | undefined} draw
   * @param {PlacesFrame} frame
   * @param {PlacesLook} look
   */
  static drawn(draw, frame, look) {
    const canvas = document.createElement('canvas');
    const { plot, text } = draw?.(canvas, frame, look) ?? {};
    return plot ? { canvas, text: text ?? '', words: ticksOf(plot) } : null;
  }

  /**
   * Draws the plot; without anything to draw it is not there.
   * @param {DrawPlaces | null} draw
   * @param {PlacesLook} look
   * @param {number | undefined} top
   */
  show(draw, look, top) {
    this.element.hidden = !draw;
    if (!draw) return;
    this.#drawn = true;
    const frame = this.frame(top);
    const { plot, text } = draw(this.#canvas, frame, look);
    this.element.hidden = !plot;
    if (!plot) return;
    for (const { style } of [this.#canvas, this.#words]) {
      style.width = `${frame.width_px}px`;
      style.height = `${frame.height_px}px`;
    }
    this.#text.textContent = text;
    this.#canvas.setAttribute('aria-label', plot.curves.map(({ name }) => `${name}.`).join(' '));
    this.#words.replaceChildren(...ticksOf(plot).map((label) => wordAt(frame, label, 'tick')));
    this.#grip.follow(plot);
  }
}

/**
 * The numbers at the axes.
 * @param {import('./jobtorque.js').View} plot
 */
function ticksOf(plot) {
  return [...plot.time_ticks, ...plot.torque_ticks].map(({ label }) => label);
}
