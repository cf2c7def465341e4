/**
 * Registers `<job-torque>`. Loading it twice does no harm: the first one stays.
 */

import { JobTorqueElement } from './job-torque.js';

// For pages that ask the module themselves.
export { Jobtorque, initSync } from './jobtorque.js';

if (globalThis.customElements && !customElements.get('job-torque')) {
  customElements.define('job-torque', JobTorqueElement);
}
