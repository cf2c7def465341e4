/**
 * What is wrong with a question, and what may be written in its place: one press writes it.
 */

import { joined, made, pressable } from './dom.js';

/**
 * @typedef {import('./jobtorque.js').Problem} FaultOfBlank
 * @typedef {import('./jobtorque.js').Offer} OfferedJob
 */

/** The words below the form. */
export class Fault {
  element = made('div', 'fault');
  #message = made('p', 'wrong');
  #offers = made('div', 'offers');
  #blank;
  #taken;

  /**
   * @param {HTMLElement} blank where the focus goes from an offer that the keyboard took
   * @param {(offer: OfferedJob) => void} taken an offer was pressed
   */
  constructor(blank, taken) {
    this.#blank = blank;
    this.#taken = taken;
    this.#message.id = 'fault';
    this.element.setAttribute('part', 'fault');
    this.element.append(this.#message, this.#offers);
    this.show([]);
  }

  /** What a faulty blank is described by. */
  get id() {
    return this.#message.id;
  }

  /** @param {FaultOfBlank[]} problems none takes them back */
  show(problems) {
    this.#message.textContent = problems.map(({ message }) => message).join(' ');
    const offers = problems.flatMap(({ offers }) => offers ?? []);
    this.#offers.replaceChildren(...offers.map((offer) => this.#button(offer)));
    this.#offers.hidden = offers.length === 0;
    this.element.hidden = problems.length === 0;
  }

  /** @param {OfferedJob} offer */
  #button(offer) {
    const button = pressable('offer', joined(offer.name), () => {
      if (button.matches(':focus-visible')) this.#blank.focus();
      this.#taken(offer);
    });
    if (offer.torque) button.append(' ', made('span', 'note', joined(offer.torque)));
    return button;
  }
}
