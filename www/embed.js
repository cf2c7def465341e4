/**
 * The loader for articles. An element `<job-torque>` stands there finished and asleep: nothing else is
 * loaded until it is pointed at, touched or focused, or where its attribute `start` is `at-once`. What
 * the visitor did first is done again once it is live.
 */

const NAME = 'job-torque';

/** Whether the site has a first part for articles; where it has none its builder says so here. */
const HAS_FIRST = true;

/** What can be used in an element. */
const CONTROLS = 'select, input, button';

/** What is heard of elements that sleep. */
const HEARD = [
  'pointerover',
  'pointermove',
  'pointerdown',
  'pointerup',
  'pointercancel',
  'mousedown',
  'click',
  'focusin',
  'keydown',
  'input',
];

/** How many frames the live chart may take to be drawn in its final size. */
const DRAWN_AFTER = 3;

/** Elements that answered. @type {WeakSet<Element>} */
const awake = new WeakSet();

/** Elements that could not. @type {WeakSet<Element>} */
const failed = new WeakSet();

/** Elements that can be reached by keyboard through the loader alone. @type {WeakSet<Element>} */
const made = new WeakSet();

/** @type {Promise<unknown> | null} */
let loading = null;
let failures = 0;

/**
 * What was done last, if it is still to be answered: the control that was pressed, whether with the
 * enter key; or where the chart is pointed at, and whether it was pressed there.
 * @type {{ element: Element, control?: string, isEntered?: boolean, x?: number, y?: number, isPressed?: boolean } | null}
 */
let last = null;

/**
 * Begins to load what the script asks for as soon as it is there.
 * @param {string} address
 */
function begin(address) {
  const link = document.createElement('link');
  link.rel = 'preload';
  link.as = 'fetch';
  link.crossOrigin = 'anonymous';
  link.href = address;
  document.head.append(link);
}

/** @param {Element} element */
function wake(element) {
  // Compact elements need no more than the first part.
  const isFirst = HAS_FIRST && !document.querySelector(`${NAME}:not([compact])`);
  const script = isFirst ? 'job-torque-first.js' : 'job-torque.js';
  if (!loading && !failures) {
    // As in `engine.js`.
    for (const file of [script.replace('.js', '.wasm'), isFirst ? 'texts-first.json' : 'texts.json']) {
      begin(new URL(file, import.meta.url).href);
    }
    const src = element.getAttribute('src');
    if (src && URL.canParse(src, document.baseURI)) {
      const { href } = new URL(src, document.baseURI);
      const edition = element.getAttribute('edition');
      const own = edition && /^[1-9]\d*$/.test(edition) ? `-summary-${edition}.txt` : '-summary.txt';
      begin(href.replace(/\.(json|txt)(?=$|[?#])/, isFirst ? own : '.txt'));
    }
  }
  loading ??= import(`./${script}${failures ? `?${failures}` : ''}`).catch(() => {
    loading = null;
    failures += 1;
    const line = element.shadowRoot?.querySelector('.fault');
    const said = element.querySelector('[data-unloaded]');
    if (line instanceof HTMLElement && said instanceof HTMLElement) {
      line.textContent = said.dataset.unloaded ?? '';
      line.hidden = false;
    }
  });
}

/**
 * Tries to load once more what an element needs.
 * @param {Element} element
 */
function again(element) {
  const src = element.getAttribute('src');
  failed.delete(element);
  element.removeAttribute('src');
  if (src !== null) element.setAttribute('src', src);
}

/** @param {Event} event */
function heard(event) {
  const { type, target } = event;
  const element = target instanceof Element ? target.closest(NAME) : null;
  if (!element || awake.has(element)) {
    if (type === 'pointermove' && last?.x !== undefined) last = null;
    return;
  }
  const [inside] = event.composedPath();
  if (!(inside instanceof Element)) return;
  note(event, element, inside);
  const isMeant = type === 'pointerdown' || type === 'keydown';
  if (failed.has(element)) {
    if (isMeant && !inside.closest('.onwards')) again(element);
  } else if (isMeant || !failures) wake(element);
}

/**
 * Keeps what is to be done again.
 * @param {Event} event
 * @param {Element} element
 * @param {Element} inside
 */
function note(event, element, inside) {
  const { type } = event;
  const control = inside.closest(CONTROLS);
  const key = event instanceof KeyboardEvent ? event.key : '';
  // As in the live element, what is typed takes the place of what stands there.
  if (type === 'focusin' && control instanceof HTMLInputElement) control.select();
  if (type === 'pointercancel' || type === 'input') last = null;
  else if (control) {
    const isList = control instanceof HTMLSelectElement;
    const isOpened = isList && (type === 'mousedown' || key === ' ' || key === 'Enter');
    // The list of the live element opens in its place.
    if (isOpened) {
      event.preventDefault();
      control.focus();
    }
    const isEntered = !isList && control instanceof HTMLInputElement && key === 'Enter';
    if (isOpened || isEntered || type === 'pointerdown' || type === 'click') {
      last = { element, control: selectorOf(control), isEntered };
    }
  } else if (event instanceof PointerEvent && type !== 'click') {
    const { clientX: x, clientY: y } = event;
    const isPressed = type === 'pointerup' || (last?.x !== undefined && last.isPressed);
    if (inside.closest('.plot')) last = { element, x, y, isPressed };
    else if (last?.x !== undefined) last = null;
  }
}

/**
 * What finds a control again in the live element.
 * @param {Element} control
 */
function selectorOf(control) {
  const name = control.getAttribute('name');
  return name ? `[name="${name}"]` : `.${control.parentElement?.classList[0]} > .${control.classList[0]}`;
}

/** @param {Event} event */
function answered({ target }) {
  if (!(target instanceof HTMLElement) || awake.has(target)) return;
  awake.add(target);
  if (made.has(target)) {
    // A browser may take the focus away with it.
    const focused = target.shadowRoot?.activeElement;
    target.removeAttribute('tabindex');
    if (focused instanceof HTMLElement) focused.focus({ preventScroll: true });
  }
  const done = last;
  if (done?.element !== target) return;
  last = null;
  // After the page around has heard of the answer.
  queueMicrotask(() => repeat(target, done));
}

/**
 * @param {HTMLElement} element
 * @param {NonNullable<typeof last>} done
 */
function repeat(element, { control, isEntered, x, y, isPressed }) {
  const root = element.shadowRoot;
  const twin = root?.querySelector(control ?? '.plot');
  if (!(twin instanceof HTMLElement)) return;
  if (!control) {
    const at = { clientX: x, clientY: y, bubbles: true };
    afterFrames(DRAWN_AFTER, () => {
      twin.dispatchEvent(new PointerEvent('pointermove', at));
      if (isPressed) twin.dispatchEvent(new PointerEvent('pointerup', at));
    });
  } else if (isEntered) {
    twin.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
  } else {
    twin.focus({ preventScroll: true });
    if (twin instanceof HTMLSelectElement) {
      try {
        twin.showPicker();
      } catch {
        // Too long after the press: it has the focus.
      }
    } else twin.click();
  }
}

/**
 * @param {number} count
 * @param {() => void} work
 */
function afterFrames(count, work) {
  requestAnimationFrame(() => (count > 1 ? afterFrames(count - 1, work) : work()));
}

/**
 * Makes an element ready that stands there finished.
 * @param {HTMLElement} element
 */
function prepare(element) {
  const root = element.shadowRoot;
  const style = root?.querySelector('style');
  if (root && style && !style.sheet) {
    // The policy of the page forbids styles in its text.
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(style.textContent ?? '');
    root.adoptedStyleSheets = [sheet];
  }
  if (!root && !element.hasAttribute('tabindex')) {
    element.tabIndex = 0;
    made.add(element);
  }
  if (element.getAttribute('start') === 'at-once') wake(element);
}

if (!customElements.get(NAME)) {
  try {
    // See `stylesheet.js`.
    const name = '--job-torque-root-size';
    CSS.registerProperty({ name, syntax: '<length>', inherits: true, initialValue: '16px' });
  } catch {
    // The page has registered it.
  }
  for (const type of HEARD) document.addEventListener(type, heard, true);
  document.addEventListener('answer', answered);
  document.addEventListener('fault', (event) => {
    const { target } = event;
    if (!(target instanceof Element) || awake.has(target)) return;
    // Where live blocks stand, the question is at fault and not the loading.
    if (target.shadowRoot?.querySelector('.sheet:not([data-baked])')) answered(event);
    else failed.add(target);
  });
  /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(NAME)).forEach(prepare);
}
