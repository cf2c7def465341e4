// Browsers for the tests: starts them, opens pages, and holds every page to what must always be so.
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { access, mkdtemp, readFile, rm } from 'node:fs/promises';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { promisify } from 'node:util';
import puppeteer from 'puppeteer-core';
import { useFonts } from './fonts.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** The site that the tests look at, and the program that made it. */
export const site = path.join(root, 'target/site-tested');
export const unoptimisedSite = path.join(root, 'target/site-unoptimised');
export const program = path.join(root, 'target/release/jobtorque');

const run = promisify(execFile);
const axe = await readFile(new URL('node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');

/** The published data of the site, read anew. */
export const publishedData = async () => JSON.parse(await readFile(path.join(site, 'results.json'), 'utf8'));

/**
 * A changed dataset as the text that a page reads; with 'summary', as that of the first part.
 * @param {string} json @param {string[]} of
 */
export async function packed(json, ...of) {
  const options = { cwd: root, maxBuffer: 1 << 28 };
  const example = ['run', '--release', '--locked', '--quiet', '--example', 'packed', '--', ...of];
  const packing = run('cargo', example, options);
  packing.child.stdin.end(json);
  return (await packing).stdout;
}

/** What the program prints when it is called with these. @param {string[]} given */
export const onTheCommandLine = async (...given) =>
  (await run(program, given, { maxBuffer: 1 << 26 })).stdout;

/** Holds a page as it stands against the accessibility checker. */
export async function holdAgainstAxe(page, said) {
  await page.evaluate(axe);
  const found = await page.evaluate(async () => (await globalThis.axe.run(document)).violations);
  const brief = found.map(({ id, nodes }) => [id, nodes.map((node) => [node.target, node.failureSummary])]);
  assert.deepEqual(brief, [], said);
}

/** @param {string} folder @param {string} name */
export const pageAddress = (folder, name = 'index.html') => pathToFileURL(path.join(folder, name)).href;

const both = [
  {
    name: 'Chromium',
    options: {
      browser: 'chrome',
      executablePath: '/usr/bin/chromium',
      args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--disable-background-networking'],
    },
  },
  {
    name: 'Firefox',
    options: { browser: 'firefox', executablePath: '/usr/bin/firefox-esr' },
    // This browser takes a setting where the other takes a command.
    withoutScript: { extraPrefsFirefox: { 'javascript.enabled': false } },
    dark: { extraPrefsFirefox: { 'layout.css.prefers-color-scheme.content-override': 0 } },
  },
];

/** Those to test in: both, or the one that `mutants.mjs` names. */
export const browsers = both.filter(({ name }) => (process.env.ONLY_BROWSER ?? name) === name);
if (browsers.length === 0) throw new Error(`no browser ${process.env.ONLY_BROWSER}`);

/** Runs `use` with a fresh browser and closes it, whatever happens. */
export async function withBrowser(browser, use, more = {}) {
  await access(browser.options.executablePath);
  const profile = await mkdtemp(path.join(tmpdir(), 'browser-'));
  const running = await puppeteer.launch({
    ...browser.options,
    ...more,
    headless: true,
    userDataDir: profile,
  });
  try {
    return await use(running);
  } finally {
    await running.close();
    await rm(profile, { recursive: true, force: true });
  }
}

/**
 * Opens a page, runs `use`, then asserts what holds for every page: no console message, no error, no request
 * beyond the page's own files. The page has the usual fonts of `fonts.mjs` unless another set is named.
 *
 * @param running a browser
 * @param {string} address
 * @param use what to do with the page
 * @param {{ viewport?: object, before?: Function, messages?: boolean, fonts?: string }} options
 */
export async function withPage(running, address, use, options = {}) {
  const page = await running.newPage();
  const said = [];
  const asked = [];
  // A browser looks for an icon of its own accord, and may say that the page's policy forbids it to.
  const hear = (text) => text.includes('favicon.ico') || said.push(text);
  page.on('console', (message) => hear(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => hear(`error: ${error}`));
  page.on('request', (request) => asked.push(request.url()));
  try {
    await page.setViewport({ width: 1280, height: 900, deviceScaleFactor: 1, ...options.viewport });
    await listen(page);
    await useFonts(page, options.fonts ?? 'usual');
    await options.before?.(page);
    await page.goto(address);
    const result = await use(page);
    const own = new URL('.', address).href;
    const fetched = asked.filter((url) => !url.startsWith('blob:') && !url.startsWith('data:'));
    const foreign = fetched.filter((url) => !url.startsWith(own));
    assert.deepEqual(foreign, [], 'no request beyond the page’s own files');
    if (address.startsWith('file:')) {
      const others = fetched.filter((url) => url.split('#')[0] !== address.split('#')[0]);
      assert.deepEqual(others, [], 'a saved page asks for nothing');
    }
    if (options.messages !== true) {
      assert.deepEqual(said, [], 'no console message');
    }
    return result;
  } finally {
    await page.close();
  }
}

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.wasm': 'application/wasm',
  '.json': 'application/json',
};

/** What a file is, by its name. @param {string} name */
export const typeOf = (name) => TYPES[path.extname(name)] ?? 'text/plain';

/** A page of someone else's around what is inside it, with the element's script; `head` is its own. */
export const pageAround = (inside, head = '') =>
  `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">${head}<link rel="icon" href="data:,"><title>Invented</title>
  <script type="module" src="job-torque.js"></script></head><body>${inside}</body></html>`;

/** The same with the loader. */
export const article = (inside, head = '') =>
  `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><link rel="icon" href="data:,"><title>Invented</title>
  ${head}<script type="module" src="embed.js"></script></head><body>${inside}</body></html>`;

/** The page that loads `post.html` with the script of the element itself, which starts at once. */
const STARTED = 'started.html';

/** Such a page of a post: without the loader, and without the finished answer in it. @param {string} post */
const startedAtOnce = (post) =>
  post
    .replace('src="embed.js"', 'src="job-torque.js"')
    .replace(/<template shadowrootmode[^]*<\/template>\n/, '');

/**
 * Serves the site on this machine, `changed` files in place of its own (null for one that is missing, a function for
 * one that answers by itself), and gives `use` the address and the list of what was asked for.
 *
 * @param {Record<string, string | null | ((request: object, response: object) => unknown)>} changed
 * @param {(address: string, asked: string[]) => Promise<unknown>} use
 * @param {Record<string, string>} headers of every answer
 * @param {string} folder of the site
 */
export async function withSite(changed, use, headers = {}, folder = site) {
  const asked = [];
  const server = createServer(async (request, response) => {
    const name = new URL(request.url, 'http://localhost').pathname.slice(1);
    asked.push(name);
    try {
      const file = (name) => readFile(path.join(folder, name));
      const own = async () =>
        name === STARTED ? startedAtOnce(String(await file('post.html'))) : file(name);
      const body = name in changed ? changed[name] : await own();
      if (body === null) throw new Error(`no ${name}`);
      if (typeof body === 'function') {
        await body(request, response);
        return;
      }
      response.writeHead(200, { 'content-type': typeOf(name), ...headers });
      response.end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  try {
    return await use(`http://127.0.0.1:${server.address().port}/`, asked);
  } finally {
    server.close();
    server.closeAllConnections();
  }
}

/** Keeps the last answer or fault of every element, from before the page's own script runs. */
export const listen = (page) =>
  page.evaluateOnNewDocument(() => {
    globalThis.heard = { answers: 0, answer: null, faults: [] };
    document.addEventListener('answer', (event) => {
      globalThis.heard.answers += 1;
      globalThis.heard.answer = event.detail;
    });
    document.addEventListener('fault', (event) => globalThis.heard.faults.push(event.detail));
  });

/** Keeps the names of the module's functions that script calls, in `calls`, and the time spent in them, in `inModule`. */
export const countCalls = (page) =>
  page.evaluateOnNewDocument(() => {
    globalThis.calls = [];
    globalThis.inModule = 0;
    const Real = WebAssembly.Instance;
    WebAssembly.Instance = function (module, imports) {
      const { exports } = new Real(module, imports);
      const counted = Object.entries(exports).map(([name, given]) => {
        if (typeof given !== 'function' || !name.startsWith('jobtorque_')) return [name, given];
        const called = (...values) => {
          globalThis.calls.push(name.slice('jobtorque_'.length));
          const start = performance.now();
          const result = given(...values);
          globalThis.inModule += performance.now() - start;
          return result;
        };
        return [name, called];
      });
      return { exports: Object.fromEntries(counted) };
    };
  });

/** Waits until `look` returns something, which is asked for from outside: a strict policy forbids evaluating text in the page. */
export async function eventually(page, look, ...given) {
  for (let tries = 0; tries < 400; tries += 1) {
    const seen = await page.evaluate(look, ...given);
    if (seen !== null && seen !== undefined && seen !== false) {
      return seen;
    }
    await new Promise((resolve) => setTimeout(resolve, 25));
  }
  throw new Error(`waited in vain for ${look}`);
}

/** What is in the shadow root of the first element, by a selector: its text, and whether it is to be seen. */
export const inside = (page, selector) =>
  page.evaluate((selector) => {
    const found = document.querySelector('job-torque').shadowRoot.querySelector(selector);
    return found && { text: found.textContent, seen: found.getBoundingClientRect().height > 5 };
  }, selector);

/** Touches an element that stands there finished and asleep: it has the focus. */
export const wake = (page) =>
  page.evaluate(() => document.querySelector('job-torque').shadowRoot.querySelector('select').focus());

/** The first answer that the page shows. */
export const answered = (page) => eventually(page, () => globalThis.heard.answer);

/** What `ask --json` printed, as script gets it: those of the list have no list of their own. */
export function answerOfCommand(printed) {
  const { list, ...answer } = JSON.parse(printed);
  return { ...answer, list: list && list.map(({ list: none, ...one }) => one) };
}

/** The list of the pairs that the answer shown is about. */
export const listed = (page) => page.evaluate(() => document.querySelector('job-torque').list());

/** Changes the element's attributes (null takes one away) and returns the answer or the fault that follows. */
export const ask = (page, attributes) =>
  page.evaluate(
    (changes) =>
      new Promise((resolve) => {
        const element = document.querySelector('job-torque');
        const done = (event) => {
          element.removeEventListener('answer', done);
          element.removeEventListener('fault', done);
          resolve({ kind: event.type, detail: event.detail });
        };
        element.addEventListener('answer', done);
        element.addEventListener('fault', done);
        for (const [name, value] of Object.entries(changes)) {
          if (value === null) {
            element.removeAttribute(name);
          } else {
            element.setAttribute(name, value);
          }
        }
      }),
    attributes,
  );
