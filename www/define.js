/**
 * Registers `<job-torque>`. Loading it twice does no harm: the first one stays.
 */

import { Answering } from './answering.js';
import { Beneath } from './beneath.js';
import { JobTorqueElement } from './element.js';

// For pages that ask the module themselves.
export { Jobtorque, initSync } from './jobtorque.js';
export { resultsIn } from './engine.js';

/** What answers for an element, with all that there is. @type {typeof JobTorqueElement.answering} */
export const answering = (element, choices) => new Answering(element, choices, Beneath, null);

if (globalThis.customElements && !customElements.get('job-torque')) {
  JobTorqueElement.answering = answering;
  customElements.define('job-torque', JobTorqueElement);
}
