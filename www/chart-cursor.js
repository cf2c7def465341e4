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

/** How near to a curve a tap means it, and how far one may go astray, in CSS pixels. */
const NEAR_PX = 12;
const STRAY_PX = 8;

/** Distance of the words from points that they tell of, up and down, in CSS pixels. */
const CLEAR_PX = 6;

/** How many charts can be read, so that each has its own words of help. */
let charts = 0;

/** The reading of one chart. */
export class ChartReading {
  slider = made('input', 'time');
  element = made('div', 'reading');
  /** The curves drawn. @type {import('./jobtorque.js').DrawnCurve[]} */
  #curves = [];
  /** Whose pair is asked for. */
  #own = '';
  /** Where a pointer was pressed. */
  #pressed = { x: 0, y: 0 };
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
   * @param {(pair: import('./jobtorque.js').PairIds) => void} chosen asks for a pair whose curve is tapped
   * @param {import('./dom.js').Tried} tried
   */
  constructor(texts, plot, chosen, tried) {
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
    plot.addEventListener('pointermove', (event) =>
      tried(() => {
        this.#show(this.#under(event));
        plot.style.cursor = event.pointerType === 'mouse' && this.#near(event) ? 'pointer' : '';
      }),
    );
    plot.addEventListener('pointerdown', ({ clientX: x, clientY: y }) => {
      this.#pressed = { x, y };
    });
    plot.addEventListener('pointerup', (event) =>
      tried(() => {
        const { x, y } = this.#pressed;
        const strayed = Math.hypot(event.clientX - x, event.clientY - y) > STRAY_PX;
        const near = strayed || event.button !== 0 ? null : this.#near(event);
        if (near) chosen(near);
        else this.#hold(this.#under(event));
      }),
    );
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
   * @param {import('./jobtorque.js').Question} question what is asked
   * @param {boolean} same whether only its size or its colours are new
   */
  follow(view, read, { tool, pack }, same) {
    this.#line.style.top = `${view.top_px}px`;
    this.#line.style.height = `${view.bottom_px - view.top_px}px`;
    this.#read = read;
    this.#readings = null;
    this.#curves = view.curves;
    this.#own = `${tool} ${pack}`;
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
   * The pair of the curve that a pointer is near to; none where that pair is asked for already.
   * @param {PointerEvent} event
   */
  #near(event) {
    const { left, top } = this.#plot.getBoundingClientRect();
    const at = { x: event.clientX - left, y: event.clientY - top };
    const steps = this.#loaded()?.steps ?? [];
    const away = this.#curves.map((_, i) => distance(at, steps, i));
    const nearest = Math.min(...away);
    const ids = nearest <= NEAR_PX ? this.#curves[away.indexOf(nearest)]?.pair.ids : null;
    return ids && `${ids.tool} ${ids.pack}` !== this.#own ? ids : null;
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
    const rows = curves.map(({ kind, torque }, i) => {
      const curve = this.#curves[i];
      const row = made('div', kind);
      const name = made('span', 'name', curve?.pair.name ?? '');
      row.append(curve ? letterOf(curve) : '', ' ', name, ' ', made('span', '', torque));
      return row;
    });
    this.#box.replaceChildren(made('div', '', time), ...rows);
    this.#box.classList.toggle('few', rows.length < 3);
    const dots = curves.map(({ kind, y_px }) => {
      const dot = made('div', `dot ${kind}`);
      dot.style.left = `${x_px}px`;
      dot.style.top = `${y_px}px`;
      return dot;
    });
    this.element.replaceChildren(this.#line, ...dots, this.#box);
    this.#placeBox(x_px);
  }

  /**
   * Puts the words beside the place, on the side where there is more room; above or below, where fewer
   * points of the curves are under them.
   * @param {number} x of the place
   */
  #placeBox(x) {
    const { clientWidth: width, clientHeight: height } = this.#plot;
    const isLeft = x > width / 2;
    const { style } = this.#box;
    style.maxWidth = `${Math.max(x, width - x) - AWAY_PX}px`;
    style.left = isLeft ? '' : `${x + AWAY_PX}px`;
    style.right = isLeft ? `${width - x + AWAY_PX}px` : '';
    const { offsetLeft: from, offsetWidth, offsetHeight } = this.#box;
    const steps = this.#loaded()?.steps ?? [];
    const beside = steps.filter(({ x_px }) => x_px >= from && x_px <= from + offsetWidth);
    const points = beside.flatMap(({ curves }) => curves.map(({ y_px }) => y_px));
    const above = points.filter((y) => y < offsetHeight + CLEAR_PX).length;
    const below = points.filter((y) => y > height - offsetHeight - CLEAR_PX).length;
    style.top = below < above ? 'auto' : '0';
    style.bottom = below < above ? '0' : 'auto';
  }
}

/**
 * How far a place is from a curve, in CSS pixels.
 * @param {{ x: number, y: number }} at
 * @param {Reading[]} steps what curves read, from left to right
 * @param {number} index of the curve
 */
function distance({ x, y }, steps, index) {
  let least = Infinity;
  for (const [i, { x_px, curves }] of steps.entries()) {
    const next = steps[i + 1];
    if (!next || x_px > x + NEAR_PX || next.x_px < x - NEAR_PX) continue;
    const [from, to] = [curves[index]?.y_px ?? Infinity, next.curves[index]?.y_px ?? Infinity];
    const [across, down] = [next.x_px - x_px, to - from];
    const along = ((x - x_px) * across + (y - from) * down) / (across * across + down * down);
    const part = Math.max(0, Math.min(along, 1));
    least = Math.min(least, Math.hypot(x - x_px - part * across, y - from - part * down));
  }
  return least;
}
