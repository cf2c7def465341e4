/**
 * The one style sheet of all elements. Its sizes follow the reader's own size of text and not that
 * of the page around, which may have been set to anything.
 */

import { styleText } from './style.js';

/** A length that is what `rem` would be without the page around; worked out once, in the sheet. */
const ROOT_SIZE = '--job-torque-root-size';

/** @type {CSSStyleSheet | null} */
let sheet = null;

/** The style sheet, made at its first use. */
export function sharedSheet() {
  if (sheet) return sheet;
  try {
    CSS.registerProperty({ name: ROOT_SIZE, syntax: '<length>', inherits: true, initialValue: '16px' });
  } catch {
    // Another copy of this script was here before.
  }
  sheet = new CSSStyleSheet();
  sheet.replaceSync(withoutRoot(styleText));
  return sheet;
}

/**
 * A style sheet with no size that hangs on the root of the page. In the conditions of containers `em`
 * is the size of text of the container, which is the sheet.
 * @param {string} text
 */
function withoutRoot(text) {
  return text.replace(/@container[^{]+|@media[^{]+|([\d.]+)rem\b/g, (found, size) => {
    if (size) return `calc(${size} * var(${ROOT_SIZE}))`;
    return found.startsWith('@container') ? found.replaceAll('rem', 'em') : found;
  });
}
