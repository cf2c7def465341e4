/**
 * Registers `<job-torque>` for articles, with the first part alone: sentence, answer and chart. What it
 * cannot answer, the whole does.
 */

import { Answering } from './answering.js';
import { JobTorqueElement } from './element.js';

// For pages that ask the module themselves.
export { Jobtorque, initSync } from './jobtorque.js';
export { resultsIn } from './engine.js';

/** @param {JobTorqueElement} element */
async function passOn(element) {
  const { answering } = await import('./job-torque.js');
  await element.passTo(answering);
}

if (globalThis.customElements && !customElements.get('job-torque')) {
  JobTorqueElement.answering = (element, choices) =>
    new Answering(element, choices, null, () => passOn(element));
  customElements.define('job-torque', JobTorqueElement);
}
