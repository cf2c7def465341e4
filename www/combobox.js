/**
 * A blank to type in, with suggestions below it: all of them when it is opened, then those that
 * suit what is typed. A list of the browser's own shows only what suits the text that stands there
 * already, knows no groups and no other names, and does not grow with the text.
 */

import { made } from './dom.js';

/**
 * One suggestion: its identifier, `null` for any; its name, what stands beside the name, and what
 * stands above all of one kind.
 * @typedef {{ id: string | null, name: string, note: string, group: string | null }} Suggestion
 */

/**
 * The blank.
 * @template {Suggestion} S
 */
export class TypedBlank {
  element = made('span', 'typed');
  #input = made('input', '');
  #popup = made('span', 'popup');
  #options = made('span', '');
  #suggest;
  #chosen;
  /** @type {S[]} */
  #suggested = [];
  /** Which suggestion the keyboard is at. */
  #at = -1;
  /** What stood there when it was last shown, chosen or written. */
  #settled = '';

  /**
   * @param {string} name
   * @param {string} label
   * @param {string} hint what may be written, above the suggestions
   * @param {(text: string) => S[]} suggest
   * @param {(suggested: S) => void} chosen a suggestion was taken
   * @param {(text: string) => void} written something else was written
   */
  constructor(name, label, hint, suggest, chosen, written) {
    this.#suggest = suggest;
    this.#chosen = chosen;
    this.written = written;
    const input = this.#input;
    input.type = 'text';
    input.name = name;
    input.autocomplete = 'off';
    input.spellcheck = false;
    input.setAttribute('aria-label', label);
    input.setAttribute('part', 'control');
    input.setAttribute('role', 'combobox');
    input.setAttribute('aria-autocomplete', 'list');
    input.setAttribute('aria-expanded', 'false');
    this.#options.id = `${name}-options`;
    input.setAttribute('aria-controls', this.#options.id);
    this.#options.setAttribute('role', 'listbox');
    this.#options.setAttribute('aria-label', label);
    if (hint) this.#popup.append(made('span', 'hint', hint));
    this.#popup.append(this.#options);
    this.#popup.hidden = true;
    this.element.append(input, this.#popup);
    input.addEventListener('input', () => this.#open(input.value));
    input.addEventListener('click', () => this.#open(this.#unread()));
    input.addEventListener('focus', () => input.select());
    input.addEventListener('blur', () => this.#settle());
    input.addEventListener('keydown', (event) => this.#press(event));
    // A press on a suggestion leaves the focus where it is.
    this.#popup.addEventListener('pointerdown', (event) => event.preventDefault());
    this.#popup.addEventListener('click', (event) => {
      const option = event.target instanceof Element ? event.target.closest('[role="option"]') : null;
      if (option) this.#take(Number(option.getAttribute('data-place')));
    });
  }

  get control() {
    return this.#input;
  }

  /** @param {string} text what stands in the blank */
  show(text) {
    this.#settled = text;
    this.#write(text);
    this.#close();
  }

  /** @param {string} text */
  #write(text) {
    if (this.#input.value !== text) this.#input.value = text;
    // The blank is as wide as its text: the element holds it unseen.
    this.element.dataset.text = text;
  }

  /** @param {string} text */
  #open(text) {
    this.#write(this.#input.value);
    this.#suggested = this.#suggest(text);
    this.#at = -1;
    this.#options.replaceChildren();
    let place = this.#options;
    let above = '';
    this.#suggested.forEach((suggested, i) => {
      if (above !== (suggested.group ?? '')) {
        above = suggested.group ?? '';
        place = made('span', '');
        place.setAttribute('role', 'group');
        place.setAttribute('aria-label', above);
        const heading = made('span', 'heading', above);
        heading.setAttribute('role', 'presentation');
        place.append(heading);
        this.#options.append(place);
      }
      place.append(this.#option(suggested, i));
    });
    this.#popup.hidden = false;
    this.#input.setAttribute('aria-expanded', 'true');
    this.#mark();
    this.#place();
  }

  /**
   * @param {S} suggested
   * @param {number} place
   */
  #option({ name, note }, place) {
    const option = made('span', 'option', name);
    option.id = `${this.#options.id}-${place}`;
    option.dataset.place = String(place);
    option.setAttribute('role', 'option');
    if (note) option.append(' ', made('span', 'note', note));
    return option;
  }

  /** What stands there and could not be read: what may be meant by it is suggested. Else nothing. */
  #unread() {
    return this.#input.hasAttribute('aria-invalid') ? this.#input.value : '';
  }

  /** Puts the suggestions below the blank, within the form. */
  #place() {
    const form = this.element.closest('form');
    if (!form) return;
    const [blank, around] = [this.element.getBoundingClientRect(), form.getBoundingClientRect()];
    const { style, offsetWidth } = this.#popup;
    style.top = `${blank.bottom - around.top}px`;
    style.left = `${Math.max(0, Math.min(blank.left - around.left, around.width - offsetWidth))}px`;
  }

  #close() {
    this.#popup.hidden = true;
    this.#at = -1;
    this.#input.setAttribute('aria-expanded', 'false');
    this.#input.removeAttribute('aria-activedescendant');
  }

  /** Marks the suggestion the keyboard is at. */
  #mark() {
    const options = this.#options.querySelectorAll('[role="option"]');
    options.forEach((option, i) => option.setAttribute('aria-selected', String(i === this.#at)));
    const marked = options[this.#at];
    if (marked) this.#input.setAttribute('aria-activedescendant', marked.id);
    else this.#input.removeAttribute('aria-activedescendant');
    marked?.scrollIntoView({ block: 'nearest' });
  }

  /** @param {KeyboardEvent} event */
  #press(event) {
    const { key } = event;
    if (event.isComposing) return;
    if (key === 'ArrowDown' || key === 'ArrowUp') {
      event.preventDefault();
      if (this.#popup.hidden) this.#open(this.#unread());
      const count = this.#suggested.length;
      const start = key === 'ArrowDown' ? this.#at + 1 : this.#at < 0 ? count - 1 : this.#at - 1;
      this.#at = count === 0 ? -1 : (start + count) % count;
      this.#mark();
    } else if (key === 'Enter') {
      event.preventDefault();
      this.#settle();
      // Whoever goes on typing writes something new.
      this.#input.select();
    } else if (key === 'Escape' && (!this.#popup.hidden || this.#input.value !== this.#settled)) {
      event.preventDefault();
      this.show(this.#settled);
    }
  }

  /** What stands there counts: the marked suggestion, else the text if it is another one. */
  #settle() {
    if (this.#at >= 0) {
      this.#take(this.#at);
      return;
    }
    const text = this.#input.value.trim();
    this.#close();
    if (text === this.#settled) return;
    this.#settled = text;
    this.written(text);
  }

  /** @param {number} place */
  #take(place) {
    const suggested = this.#suggested[place];
    if (!suggested) return;
    this.show(suggested.name);
    this.#chosen(suggested);
  }
}
