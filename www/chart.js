/**
 * The chart: lines on a canvas, words beside them as text. What stands where comes from outside.
 */

import { withoutPair } from './overlay.js';
import { made, pressable } from './dom.js';
import { ChartGrip } from './chart-grip.js';
import { ChartPlaces } from './chart-places.js';
import { ChartReading, letterOf } from './chart-cursor.js';
import { isNamed, lettered, wordAt } from './chart-words.js';

/**
 * @typedef {import('./jobtorque.js').View} View
 * @typedef {import('./jobtorque.js').Viewport} Viewport
 * @typedef {import('./jobtorque.js').Theme} Theme
 * @typedef {import('./jobtorque.js').Label} Label
 * @typedef {import('./jobtorque.js').NamedPair} NamedPair
 * @typedef {import('./jobtorque.js').PairIds} PairLaidOver
 * @typedef {import('./dom.js').Choice} ChosenCurves
 */

/**
 * What a chart shows, and how it is asked for.
 * @typedef {object} Plotted
 * @property {(canvas: HTMLCanvasElement, frame: Viewport, look: Theme) => View} draw
 * @property {(frame: Viewport) => import('./jobtorque.js').Readings} read
 * @property {import('./jobtorque.js').Question} question what is asked
 * @property {Pulled | null} pull what its needed line is moved by; `null` where it stays
 * @property {Placed | null} places the places below it; `null` where there are none
 */

/**
 * What draws the places below a chart and moves the needed line there.
 * @typedef {object} Placed
 * @property {import('./chart-places.js').DrawPlaces} draw
 * @property {(frame: Viewport, x: number) => string | undefined} at the job for which it lies so far across
 */

/**
 * What a needed line is moved by.
 * @typedef {object} Pulled
 * @property {(frame: Viewport, y: number) => string} at the job for which it lies at a height
 * @property {(steps: number) => string} stepped the job so many steps above the one asked for
 * @property {string} direction of the answer
 */

/**
 * The chart drawn for a picture, in the colours of paper: its lines, its words in their places, and
 * the names that stand below it.
 * @typedef {object} Drawing
 * @property {HTMLCanvasElement} canvas
 * @property {{ label: Label, colour: string }[]} words
 * @property {{ text: string, colour: string }[]} key
 * @property {ReturnType<typeof ChartPlaces.drawn>} places the plot of places; `null` where there is none
 * @property {string} font
 * @property {string} ink
 * @property {string} quiet
 * @property {string} ground
 */

/** Pixels for each CSS pixel on paper. Chromium prints a canvas at whole 64ths of its size: a quarter is exact, a third is not. */
const PRINT_RATIO = 4;

/** Media that change what a colour is. */
const COLOUR_MEDIA = ['(prefers-color-scheme: dark)', '(forced-colors: active)', '(prefers-contrast: more)'];

/** The chart of one element. */
export class Chart {
  element = made('figure', 'chart');
  #plot = made('div', 'plot');
  #key = made('figcaption', 'key');
  #canvas = document.createElement('canvas');
  #words = made('div', 'words');
  #probe = made('span', 'probe');
  #reading;
  #grip;
  #places;
  /** Whether the places of what is shown are worked out. */
  #placed = false;
  /** The end of the torque axis while the needed line is dragged, in N·m. @type {number | undefined} */
  #top;
  /** Where the plot stood when the drag began. */
  #start = 0;
  #tried;
  /** @type {Plotted | null} */
  #plotted = null;
  /** The pairs drawn last. @type {import('./chart-words.js').DrawnPair[]} */
  curves = [];
  #runs = false;
  #width = 0;
  #height = 0;
  #frame = 0;
  #observer = new ResizeObserver(() => this.#resized());
  #printing = false;
  #media = COLOUR_MEDIA.map((query) => matchMedia(query));
  #paper = matchMedia('print');
  #later = () => this.#soon();
  #beforePrint = () => this.#print(true);
  #afterPrint = () => this.#print(false);
  // Some browsers say so once the page has its size on paper; the others before.
  #onPaper = () => this.#print(this.#paper.matches);

  /**
   * @param {Record<string, string>} texts
   * @param {(choice: ChosenCurves, passing?: boolean) => void} chosen
   * @param {import('./dom.js').Tried} tried
   */
  constructor(texts, chosen, tried) {
    this.chosen = chosen;
    this.#tried = tried;
    this.element.setAttribute('part', 'chart');
    this.#canvas.setAttribute('role', 'img');
    this.#words.setAttribute('aria-hidden', 'true');
    this.#probe.setAttribute('aria-hidden', 'true');
    this.#plot.append(this.#canvas, this.#words, this.#probe);
    this.#reading = new ChartReading(texts, this.#plot, ({ tool, pack }) => chosen({ tool, pack }), tried);
    const down = this.#held((y) => this.#plotted?.pull?.at(this.#frameNow(), y));
    this.#grip = new ChartGrip(texts, this.#plot, down, tried);
    const across = this.#held((x) => this.#plotted?.places?.at(this.#places.frame(this.#top), x));
    this.#places = new ChartPlaces(across, tried, texts['table.place'] ?? '');
    this.element.append(this.#plot, this.#key, this.#places.element);
  }

  /**
   * @param {(at: number) => string | undefined} at
   * @returns {import('./chart-grip.js').Held}
   */
  #held(at) {
    return {
      at: (position) => at(position) ?? '',
      stepped: (steps) => this.#plotted?.pull?.stepped(steps) ?? '',
      keep: () => {
        const { job = null, direction = null, units = null } = this.#plotted?.question ?? {};
        return () => this.chosen({ job, direction, units });
      },
      ask: (job, passing) => {
        const direction = this.#plotted?.pull?.direction ?? null;
        this.chosen({ job, direction, units: null }, passing);
      },
      rest: (top) => {
        this.#top = top ?? undefined;
        this.#start = this.#plot.getBoundingClientRect().top;
        this.#pin();
      },
    };
  }

  /** Begins to follow size, colours and print. */
  connect() {
    this.#observer.observe(this.#plot);
    for (const query of this.#media) query.addEventListener('change', this.#later);
    addEventListener('beforeprint', this.#beforePrint);
    addEventListener('afterprint', this.#afterPrint);
    this.#paper.addEventListener('change', this.#onPaper);
  }

  /** Lets go of everything outside. */
  disconnect() {
    this.#observer.disconnect();
    for (const query of this.#media) query.removeEventListener('change', this.#later);
    removeEventListener('beforeprint', this.#beforePrint);
    removeEventListener('afterprint', this.#afterPrint);
    this.#paper.removeEventListener('change', this.#onPaper);
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
  }

  /**
   * Draws this from now on, and its places once they are asked for; at once while its line is dragged.
   * @param {Plotted} plotted
   */
  show(plotted) {
    this.#plotted = plotted;
    this.element.hidden = false;
    this.#placed = this.#placed && this.#top !== undefined;
    this.#places.expect(plotted.places !== null);
    this.#draw(false);
  }

  /** Shows the places below the chart. */
  showPlaces() {
    this.#placed = true;
    this.#drawPlaces();
  }

  #drawPlaces() {
    this.#places.show(this.#plotted?.places?.draw ?? null, this.#look(), this.#top);
  }

  /**
   * Draws the runs behind the first curve too, or no longer.
   * @param {boolean} runs
   */
  showRuns(runs) {
    if (runs === this.#runs) return;
    this.#runs = runs;
    this.#draw(true);
  }

  #resized() {
    const { clientWidth, clientHeight } = this.#plot;
    if (clientWidth !== this.#width || clientHeight !== this.#height) this.#soon();
  }

  #soon() {
    if (this.#frame) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      this.#tried(() => this.#draw(true));
    });
  }

  /** @param {boolean} printing */
  #print(printing) {
    this.#printing = printing;
    this.element.classList.toggle('printing', printing);
    this.#tried(() => this.#draw(true));
  }

  /**
   * Draws for a picture; nothing if there is no curve.
   * @param {Viewport} frame
   * @param {Viewport} below the room of the plot of places
   * @param {number} ratio
   * @returns {Drawing | null}
   */
  drawn(frame, below, ratio) {
    if (!this.#plotted || this.element.hidden) return null;
    const onPaper = this.element.classList.contains('printing');
    this.element.classList.add('printing');
    const look = { ...this.#look(), ratio };
    const [ink, quiet] = ['--ink', '--quiet'].map((name) => written(this.#colour(name)));
    this.element.classList.toggle('printing', onPaper);
    const canvas = document.createElement('canvas');
    const view = this.#plotted.draw(canvas, { ...frame, runs: this.#runs }, look);
    const colours = look.curves.map(written);
    const [full = '', dashed = '', dotted = '', dashdot = '', dashdots = ''] = colours;
    const curves = { full, dashed, dotted, dashdot, dashdots };
    const colourOf = { ...curves, tick: quiet, needed: written(look.needed), none: quiet };
    const { words, key } = lettered(view, false);
    const coloured = {
      words: words.map(({ label, look }) => ({ label, colour: colourOf[look] ?? '' })),
      key: key.map(({ text, look }) => ({ text, colour: colourOf[look] ?? '' })),
    };
    const font = getComputedStyle(this.#words).fontFamily;
    const places = ChartPlaces.drawn(this.#plotted.places?.draw, below, look);
    return {
      canvas,
      ...coloured,
      places,
      font,
      ink: ink ?? '',
      quiet: quiet ?? '',
      ground: written(look.ground),
    };
  }

  /** While the needed line is dragged nothing above the chart becomes lower: it stays under the pointer. */
  #pin() {
    const { top } = this.element.getBoundingClientRect();
    for (const above of this.element.parentElement?.children ?? []) {
      if (!(above instanceof HTMLElement) || above === this.element) continue;
      const { height, top: its } = above.getBoundingClientRect();
      if (this.#top !== undefined && its >= top) continue;
      above.style.boxSizing = this.#top === undefined ? '' : 'border-box';
      above.style.minHeight = this.#top === undefined ? '' : `${height}px`;
    }
  }

  /** The room that the chart has now. */
  #frameNow() {
    return {
      width_px: this.#plot.clientWidth,
      height_px: this.#plot.clientHeight,
      text_px: parseFloat(getComputedStyle(this.#words).fontSize),
      runs: this.#runs,
      top_nm: this.#top,
    };
  }

  /** @param {boolean} same whether only size, colours or runs are new */
  #draw(same) {
    const { clientWidth, clientHeight } = this.#plot;
    const plotted = this.#plotted;
    if (!plotted || clientWidth === 0 || clientHeight === 0) return;
    this.#width = clientWidth;
    this.#height = clientHeight;
    const frame = this.#frameNow();
    const view = plotted.draw(this.#canvas, frame, this.#look());
    // In whole pixels, as it is drawn; its words lie on it.
    for (const { style } of [this.#canvas, this.#words]) {
      style.width = `${clientWidth}px`;
      style.height = `${clientHeight}px`;
    }
    this.#reading.follow(view, () => plotted.read(frame), plotted.question, same);
    this.#grip.follow(plotted.pull ? view : null);
    if (this.#top !== undefined) {
      this.#pin();
      // Where something became higher, the page follows.
      scrollBy({ top: this.#plot.getBoundingClientRect().top - this.#start, behavior: 'instant' });
    }
    this.element.hidden = view.curves.length === 0;
    this.curves = view.curves.map((curve) => ({
      ids: curve.pair.ids,
      kind: curve.kind,
      letter: letterOf(curve),
    }));
    this.#canvas.setAttribute('aria-label', view.curves.map((curve) => `${curve.name}.`).join(' '));
    const named = isNamed(plotted.question);
    this.element.classList.toggle('named', named);
    const { words, key } = lettered(view, named);
    this.#words.replaceChildren(...words.map(({ label, look }) => wordAt(frame, label, look)));
    this.#key.replaceChildren(...key.map((entry) => this.#entry(entry)));
    if (this.#placed) this.#drawPlaces();
  }

  /**
   * An entry of the key, with a control that takes a pair away if it is laid over.
   * @param {import('./chart-words.js').KeyEntry} entry
   */
  #entry({ text, look, pair, takeOff }) {
    const entry = made('span', '');
    entry.append(quiet(made('span', look, text)));
    if (pair && takeOff) {
      const button = pressable('', '×', () => this.#takeOff(pair.ids));
      button.title = takeOff;
      button.setAttribute('aria-label', takeOff);
      entry.append(button);
    }
    return entry;
  }

  /**
   * Takes a pair away; the focus goes to the next that can be.
   * @param {PairLaidOver} pair
   */
  #takeOff(pair) {
    this.chosen(withoutPair(this.#plotted?.question.beside ?? [], pair));
    (this.#key.querySelector('button') ?? this.#reading.slider).focus();
  }

  /** @returns {Theme} */
  #look() {
    return {
      ratio: this.#printing ? PRINT_RATIO : devicePixelRatio,
      ground: this.#colour('--paper'),
      grid: this.#colour('--rule'),
      needed: this.#colour('--accent'),
      curves: [1, 2, 3, 4, 5].map((place) => this.#colour(`--curve-${place}`)),
    };
  }

  /**
   * A colour of the style sheet as red, green and blue.
   * @param {string} property
   * @returns {[number, number, number]}
   */
  #colour(property) {
    this.#probe.style.color = `var(${property})`;
    const computed = getComputedStyle(this.#probe).color;
    const parts = /^rgba?\((\d+), (\d+), (\d+)/.exec(computed);
    if (parts) return [Number(parts[1]), Number(parts[2]), Number(parts[3])];
    return painted(computed);
  }
}

/**
 * Red, green and blue of a colour in any notation: a pixel is painted with it.
 * @param {string} colour
 * @returns {[number, number, number]}
 */
function painted(colour) {
  const canvas = document.createElement('canvas');
  canvas.width = 1;
  canvas.height = 1;
  const context = canvas.getContext('2d');
  if (!context) return [0, 0, 0];
  context.fillStyle = colour;
  context.fillRect(0, 0, 1, 1);
  const [red = 0, green = 0, blue = 0] = context.getImageData(0, 0, 1, 1).data;
  return [red, green, blue];
}

/**
 * A colour as style sheets write it.
 * @param {[number, number, number]} colour
 */
function written(colour) {
  return `rgb(${colour.join(' ')})`;
}

/**
 * An element that those who do not see the drawing need not hear: the drawing's name says it.
 * @param {HTMLElement} element
 */
function quiet(element) {
  element.setAttribute('aria-hidden', 'true');
  return element;
}
