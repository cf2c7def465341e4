/**
 * Elements and native controls, and what stands at the blanks of a template.
 */

/**
 * What was chosen, by the name of its attribute; `null` for nothing.
 * @typedef {Record<string, string | null>} Choice
 */

/**
 * Does what may trap; a fault on the way, at once or later, is met like any other.
 * @typedef {(work: () => void | Promise<void>) => void} Tried
 */

/**
 * An element with text.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} name
 * @param {string} className
 * @param {string} [text]
 */
export function made(name, className, text) {
  const element = document.createElement(name);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  return element;
}

/**
 * A text whose numbers stay in one line with what they count.
 * @param {string} text
 */
export function joined(text) {
  return text.replace(/(\d) /g, '$1\u00a0');
}

/**
 * A text with pieces that stay in one line, each as it is; copied and searched it has plain spaces.
 * @param {string} text
 * @param {RegExp} piece
 */
export function unbroken(text, piece) {
  return text.split(piece).map((part, i) => (i % 2 ? made('span', 'blank', part) : part));
}

/**
 * A control with its name, its label for those who do not see the sentence, and what it does.
 * @template {HTMLInputElement | HTMLSelectElement} C
 * @param {C} control
 * @param {string} name
 * @param {string} label
 * @param {(value: string) => void} changed
 */
export function named(control, name, label, changed) {
  control.name = name;
  control.setAttribute('aria-label', label);
  control.setAttribute('part', 'control');
  control.addEventListener('change', () => changed(control.value.trim()));
  return control;
}

/**
 * A list to pick from.
 * @param {string} name
 * @param {string} label
 * @param {(value: string) => void} changed
 */
export function picker(name, label, changed) {
  return named(made('select', ''), name, label, changed);
}

/**
 * A blank for a number that is not below zero.
 * @param {string} name
 * @param {string} label
 * @param {(value: string) => void} changed
 */
export function numberBlank(name, label, changed) {
  const control = made('input', 'number');
  control.type = 'number';
  control.step = 'any';
  control.min = '0';
  control.autocomplete = 'off';
  return named(control, name, label, changed);
}

/**
 * A box to tick; what is chosen is `yes` or nothing.
 * @param {string} name
 * @param {string} label
 * @param {(choice: Choice) => void} chosen
 */
export function tickBox(name, label, chosen) {
  const box = made('input', '');
  box.type = 'checkbox';
  return named(box, name, label, () => chosen({ [name]: box.checked ? 'yes' : null }));
}

/**
 * A control with its visible label: behind a box, before any other.
 * @param {HTMLElement} control
 * @param {string} text
 */
export function labelled(control, text) {
  const isBox = control instanceof HTMLInputElement && control.type === 'checkbox';
  const label = made('label', isBox ? 'switch' : '');
  label.append(...(isBox ? [control, ` ${text}`] : [`${text} `, control]));
  return label;
}

/**
 * A button with words that does something.
 * @param {string} className
 * @param {string} text
 * @param {() => void} pressed
 */
export function pressable(className, text, pressed) {
  const button = made('button', className, text);
  button.type = 'button';
  button.addEventListener('click', pressed);
  return button;
}

/**
 * Gives a select its options, unless it has them: value, text, and what stands above those that
 * belong together.
 * @param {HTMLSelectElement} select
 * @param {(readonly [string, string, (string | null)?])[]} options
 */
export function fill(select, options) {
  const same =
    select.options.length === options.length &&
    options.every(
      ([value, text], i) => select.options[i]?.value === value && select.options[i]?.text === text,
    );
  if (same) return;
  select.replaceChildren();
  let place = /** @type {HTMLElement} */ (select);
  let above = '';
  for (const [value, text, group] of options) {
    if (above !== (group ?? '')) {
      above = group ?? '';
      place = above ? made('optgroup', '') : select;
      if (place instanceof HTMLOptGroupElement) place.label = above;
      if (place !== select) select.append(place);
    }
    place.append(new Option(text, value));
  }
}

/** A blank of a template, with what is written before and after it without a space. */
const BLANK = /([^\s{}]*)\{(\w+)\}((?:[^\s{}]|[\u00a0\u202f])*)/;

/**
 * A template's words and, at its blanks, what stands there. A control stays in one line with the
 * punctuation that touches it.
 * @param {string} template
 * @param {Record<string, Node | string>} fillings
 * @returns {(Node | string)[]}
 */
export function blanks(template, fillings) {
  const pieces = template.split(BLANK);
  /** @type {(Node | string)[]} */
  const filled = [pieces[0] ?? ''];
  for (let at = 1; at < pieces.length; at += 4) {
    const [before = '', name = '', after = '', text = ''] = pieces.slice(at, at + 4);
    const filling = fillings[name] ?? '';
    if (before || after) {
      const unit = made('span', 'blank');
      unit.append(before, filling, after);
      filled.push(unit, text);
    } else filled.push(filling, text);
  }
  return filled;
}

/**
 * A link onwards.
 * @param {string} address
 * @param {string} text
 */
export function linkTo(address, text) {
  const link = made('a', 'onwards', text);
  link.href = address;
  return link;
}

/** A line of a form. */
export function line() {
  return made('p', 'sentence');
}

/**
 * What stands together in one line.
 * @param {(Node | string)[]} pieces
 */
export function together(...pieces) {
  const element = made('span', 'blank');
  element.append(...pieces);
  return element;
}

/**
 * Says something of an element to the page around.
 * @param {HTMLElement} element
 * @param {string} name of the event
 * @param {unknown} detail
 */
export function dispatch(element, name, detail) {
  element.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }));
}
