/**
 * The page that gives itself away: its own text, with what was chosen in place of what stood there.
 */

/**
 * @typedef {import('./jobtorque.js').Taken} TakenAlong
 */

/**
 * The text of a page that holds everything in itself, byte for byte as its file, taken before
 * anything is done to it; empty on a page that only embeds the element.
 */
export const pageText = globalThis.document?.getElementById('jobtorque-module')
  ? `<!DOCTYPE html>${document.documentElement.outerHTML}`
  : '';

/** The attribute that says on which day a copy was saved. */
const SAVED = 'saved';

/**
 * The page with another choice. A copy with nothing changed keeps its day, and so its bytes.
 * @param {[string, string | null][]} choice the attributes that make up a question, in their order
 * @param {(day: string) => TakenAlong} take the words of the choice
 */
export function savedPage(choice, take) {
  const page = new DOMParser().parseFromString(pageText, 'text/html');
  cleaned(page);
  const element = /** @type {HTMLElement} */ (page.querySelector('job-torque'));
  const unchanged = choice.every(([name, value]) => element.getAttribute(name) === value);
  const day = (unchanged && element.getAttribute(SAVED)) || today();
  const taken = take(day);
  for (const [name, value] of [...choice, /** @type {[string, string]} */ ([SAVED, day])]) {
    element.removeAttribute(name);
    if (value !== null) element.setAttribute(name, value);
  }
  element.innerHTML = `\n${taken.plain}`;
  page.title = taken.title;
  return { name: `${taken.name}.html`, text: `<!DOCTYPE html>${page.documentElement.outerHTML}` };
}

/**
 * Takes out what a browser puts into a page it saves: the tree of the element, its own word for the
 * encoding, and what stood behind the end.
 * @param {Document} page
 */
function cleaned(page) {
  for (const tree of page.querySelectorAll('job-torque > template[shadowrootmode]')) tree.remove();
  for (const meta of page.querySelectorAll('meta[charset], meta[http-equiv="content-type" i]')) meta.remove();
  const encoding = page.createElement('meta');
  encoding.setAttribute('charset', 'utf-8');
  page.head.prepend(encoding);
  if (page.body.lastChild instanceof Text) page.body.lastChild.data = '\n';
}

/** The day by the clock of the reader. */
function today() {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}
