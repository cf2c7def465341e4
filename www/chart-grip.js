/**
 * Taking hold of the needed line: by pointer, and by keyboard as a slider of the job torque. Which torque
 * that is comes from outside; here it is asked for, at most once a frame while the line is dragged. An
 * upright line goes across and has no slider of its own.
 */

import { made } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').View} GrippedView
 */

/**
 * What the line is moved by.
 * @typedef {object} Held
 * @property {(at: number) => string} at the job for which the line lies so far down the plot, or across
 * @property {(steps: number) => string} stepped the job so many steps above the one asked for
 * @property {(job: string, passing: boolean) => void} ask asks for a job; `passing` while more is to come
 * @property {() => () => void} keep what is asked for now, to be asked for again
 * @property {(top: number | null) => void} rest holds the end of the torque axis, or lets go of it
 */

/** A pointer that moves no further than this has not dragged, in CSS pixels. */
const STILL_PX = 3;

/** The steps of a key. @type {Record<string, number>} */
const STEPS = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 10, PageDown: -10 };

/** How many charts can be gripped, so that each has its own words of help. */
let grips = 0;

/** The grip of one chart. */
export class ChartGrip {
  slider = made('input', 'pull');
  element = made('div', 'grip');
  #plot;
  #held;
  #help = made('span', 'unseen');
  /** @type {GrippedView | null} */
  #view = null;
  /** Where the pointer took hold, how far from the line, and whether it has dragged. @type {{ at: number, off: number, from: () => void, dragged: boolean } | null} */
  #drag = null;
  #frame = 0;
  #at = 0;
  #upright;
  /** What was asked for in passing last. */
  #passing = '';

  /**
   * @param {Record<string, string>} texts
   * @param {HTMLElement} plot where the chart is drawn
   * @param {Held} held
   * @param {import('./dom.js').Tried} tried
   * @param {boolean} [upright]
   */
  constructor(texts, plot, held, tried, upright = false) {
    this.#plot = plot;
    this.#upright = upright;
    this.#held = held;
    const { slider, element } = this;
    slider.type = 'range';
    slider.min = '1';
    slider.max = '20000';
    slider.step = 'any';
    slider.setAttribute('aria-label', texts['chart.pull'] ?? '');
    this.#help.textContent = texts['chart.pull.help'] ?? '';
    grips += 1;
    this.#help.id = `grip-help-${grips}`;
    slider.setAttribute('aria-describedby', this.#help.id);
    element.setAttribute('aria-hidden', 'true');
    element.append(made('div', 'knob'));
    // Until a chart is drawn it has no place.
    element.hidden = slider.hidden = true;
    if (upright) element.classList.add('upright');
    else plot.append(slider, this.#help);
    plot.append(element);
    element.addEventListener('pointerdown', (event) => this.#take(event));
    element.addEventListener('pointermove', (event) => this.#move(event, tried));
    element.addEventListener('pointerup', (event) => tried(() => this.#drop(event)));
    element.addEventListener('pointercancel', () => tried(() => this.#giveBack()));
    slider.addEventListener('keydown', (event) => tried(() => this.#key(event)));
    slider.addEventListener('keyup', () => tried(() => this.#settle()));
    slider.addEventListener('blur', () => tried(() => this.#settle()));
    // Assistive technology moves a slider in its own way: which way is all that counts.
    slider.addEventListener('input', () => tried(() => this.#ask(this.#isUp() ? 1 : -1, false)));
  }

  /**
   * A chart was drawn: the grip is at its needed line. Of none, there is no grip.
   * @param {GrippedView | null} view
   */
  follow(view) {
    this.#view = view;
    this.element.hidden = this.slider.hidden = !view;
    if (!view) return;
    const { style } = this.element;
    style.left = `${this.#upright ? view.needed_px : view.left_px}px`;
    style.top = this.#upright ? '0' : `${view.needed_px}px`;
    this.slider.value = String(view.job.number);
    this.slider.setAttribute('aria-valuetext', view.job.text);
  }

  #isUp() {
    return Number(this.slider.value) > (this.#view?.job.number ?? 0);
  }

  /** @param {PointerEvent} event */
  #of({ clientX, clientY }) {
    return this.#upright ? clientX : clientY;
  }

  /**
   * @param {number} at on the screen
   * @returns {number} from the top of the plot, or its left end
   */
  #inPlot(at) {
    const { left, top } = this.#plot.getBoundingClientRect();
    return at - (this.#upright ? left : top);
  }

  /** @param {PointerEvent} event */
  #take(event) {
    if (event.button !== 0 || !event.isPrimary || !this.#view) return;
    const at = this.#of(event);
    const off = this.#inPlot(at) - this.#view.needed_px;
    this.#drag = { at, off, from: this.#held.keep(), dragged: false };
    this.element.setPointerCapture(event.pointerId);
  }

  /**
   * @param {PointerEvent} event
   * @param {import('./dom.js').Tried} tried
   */
  #move(event, tried) {
    const drag = this.#drag;
    if (!drag) return;
    if (!drag.dragged) {
      if (Math.abs(this.#of(event) - drag.at) <= STILL_PX) return;
      drag.dragged = true;
      if (!this.#upright) this.slider.focus({ preventScroll: true });
      this.#held.rest(this.#view?.top_nm ?? null);
    }
    // The chart is not read while its line is dragged.
    event.stopPropagation();
    this.#at = this.#of(event) - drag.off;
    this.#frame ||= requestAnimationFrame(() => {
      this.#frame = 0;
      if (this.#drag) tried(() => this.#pass(this.#held.at(this.#inPlot(this.#at))));
    });
  }

  /** @param {PointerEvent} event */
  #drop(event) {
    const drag = this.#drag;
    this.#drag = null;
    if (!drag?.dragged) return;
    event.stopPropagation();
    const job = this.#held.at(this.#inPlot(this.#of(event)) - drag.off);
    this.#end(() => this.#held.ask(job, false));
  }

  /** What was dragged goes back to where it was. */
  #giveBack() {
    const drag = this.#drag;
    this.#drag = null;
    if (drag?.dragged) this.#end(drag.from);
  }

  /**
   * The line is let go of.
   * @param {() => void} ask asks for what it was let go at
   */
  #end(ask) {
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    this.#passing = '';
    this.#held.rest(null);
    ask();
  }

  /** @param {string} job */
  #pass(job) {
    if (job === this.#passing) return;
    this.#passing = job;
    this.#held.ask(job, true);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.key === 'Escape') this.#giveBack();
    const steps = STEPS[event.key];
    if (steps === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    // A key that is held down passes many torques.
    this.#ask(steps, event.repeat);
  }

  /**
   * @param {number} steps
   * @param {boolean} passing
   */
  #ask(steps, passing) {
    const job = this.#held.stepped(steps);
    if (passing) this.#pass(job);
    else this.#held.ask(job, false);
  }

  /** A key was let go of. */
  #settle() {
    if (this.#drag || !this.#passing) return;
    const job = this.#passing;
    this.#passing = '';
    this.#held.ask(job, false);
  }
}
