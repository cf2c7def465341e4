/**
 * What a visitor has begun on the finished answer that stood in the page before the live blocks took
 * its place, or on blocks before these: the focus, what was typed, what was chosen.
 */

/** What there was when the live blocks came. */
export class Begun {
  /** The controls of the finished answer. @type {(HTMLInputElement | HTMLSelectElement)[]} */
  #controls;
  /** @type {Element | null} */
  #focused;
  /** Whether it was a finished answer; else whatever was settled has been answered. */
  #isBaked;
  /** Whether suggestions are open. */
  #isOpen;

  /** @param {HTMLElement} element */
  constructor(element) {
    const root = element.shadowRoot;
    const { activeElement } = document;
    this.#focused = root?.activeElement ?? (element.contains(activeElement) ? element : null);
    this.#isBaked = Boolean(root?.querySelector('[data-baked]'));
    this.#isOpen = this.#focused?.getAttribute('aria-expanded') === 'true';
    this.#controls = [...(root?.querySelectorAll('.sheet :is(input, select)') ?? [])].filter(
      (control) => control instanceof HTMLInputElement || control instanceof HTMLSelectElement,
    );
  }

  /**
   * Goes on with it.
   * @param {HTMLElement} sheet of the live blocks
   */
  carryOnIn(sheet) {
    const focused = this.#focused;
    if (focused) focusLike(focused, sheet);
    for (const control of this.#controls) {
      const twin = sheet.querySelector(`[name="${control.name}"]`);
      const isSame = twin instanceof HTMLInputElement || twin instanceof HTMLSelectElement;
      if (!isSame) continue;
      const settled = this.#isBaked ? before(control) : control === focused ? twin.value : control.value;
      if (control.value !== settled) change(twin, control.value, control === focused);
      else if (this.#isOpen && control === focused) twin.click();
    }
    if (focused instanceof HTMLInputElement && focused.type === 'text') {
      const twin = sheet.querySelector(`[name="${focused.name}"]`);
      if (twin instanceof HTMLInputElement) {
        twin.setSelectionRange(focused.selectionStart, focused.selectionEnd);
      }
    }
  }
}

/**
 * Gives the focus to what stands in the place of what had it; to the first blank where nothing does.
 * @param {Element} focused
 * @param {HTMLElement} sheet
 */
function focusLike(focused, sheet) {
  const name = focused.getAttribute('name');
  const kinds = [focused.parentElement?.classList[0], focused.classList[0]];
  const place = kinds.every(Boolean) ? `.${kinds.join(' > .')}` : 'select';
  const twin = sheet.querySelector(name ? `[name="${name}"]` : place) ?? sheet.querySelector('select');
  if (twin instanceof HTMLElement) twin.focus({ preventScroll: true });
}

/**
 * What stood in a control before anybody changed it.
 * @param {HTMLInputElement | HTMLSelectElement} control
 */
function before(control) {
  if (control instanceof HTMLInputElement)
    return control.type === 'range' ? control.value : control.defaultValue;
  return control.querySelector('[selected]')?.getAttribute('value') ?? control.value;
}

/**
 * Writes into a blank what was written before. Whoever is still typing goes on; else it counts, once
 * the first answer is told.
 * @param {HTMLInputElement | HTMLSelectElement} control
 * @param {string} value
 * @param {boolean} isFocused
 */
function change(control, value, isFocused) {
  control.value = value;
  const isTyped = control instanceof HTMLInputElement && control.type === 'text';
  if (isTyped) control.dispatchEvent(new Event('input'));
  if (isTyped && isFocused) return;
  queueMicrotask(() => {
    control.value = value;
    control.dispatchEvent(new Event(isTyped ? 'blur' : 'change'));
  });
}
