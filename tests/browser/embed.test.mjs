// The element in somebody else's page: it takes nothing from the page and does nothing to it.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  eventually,
  pageAround,
  publishedData,
  site,
  wake,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const post = await readFile(path.join(site, 'post.html'), 'utf8');

/** Rules that pages have, and worse. The element's own box stays as the author of the page sets it. */
const HOSTILE = `
  html { font-size: 62.5%; }
  *, *::before, *::after { box-sizing: border-box !important; letter-spacing: 3px !important; line-height: 3 !important; }
  body, div, p, article { text-indent: 40px !important; text-align: right !important; text-transform: uppercase !important; }
  body { font: italic 9px/1 cursive; word-spacing: 1em; white-space: pre; font-variant: small-caps; hyphens: auto; color: #fff; }
  span { display: block !important; font-size: 40px !important; position: static !important; color: red !important; }
  table, td, th { border: 5px solid red !important; display: block !important; }
  button, select, input { width: 100% !important; padding: 30px !important; appearance: none; background: red !important; }
  canvas { width: 20px !important; height: 20px !important; }
  .sheet, .headline, .lines, .plot, .words { display: none !important; }
  details, summary { display: none !important; }`;

/** A page with elements among prose, all as wide as it says. */
const host = (inside, style = '', head = '') =>
  pageAround(
    `<p>Prose.</p>${inside}<p id="below">More prose.</p>`,
    `${head}<style>${style}
  body { margin: 0; } job-torque { display: block !important; width: 600px !important; padding: 0 !important; }</style>`,
  );

/** Where everything in the element stands and how its text is set. */
const looks = (page) =>
  page.evaluate(async () => {
    await new Promise((resolve) => setTimeout(resolve, 300));
    const root = document.querySelector('job-torque').shadowRoot;
    const sheet = root.querySelector('.sheet').getBoundingClientRect();
    const drawn = [...root.querySelectorAll('*')].filter((element) => element.getClientRects().length > 0);
    return drawn.map((element) => {
      const { x, y, width, height } = element.getBoundingClientRect();
      const { color, fontSize, fontFamily, letterSpacing, lineHeight, textAlign } = getComputedStyle(element);
      const place = [x - sheet.x, y - sheet.y, width, height].map((length) => Math.round(length * 2) / 2);
      const set = [color, fontSize, fontFamily, letterSpacing, lineHeight, textAlign];
      return [element.localName, element.className, ...place, ...set].join(' ');
    });
  });

/** Adds up how far things have jumped, without being asked to. */
const watchShifts = (page) =>
  page.evaluateOnNewDocument(() => {
    globalThis.shifted = { all: 0, alone: 0 };
    new PerformanceObserver((list) => {
      for (const { value, hadRecentInput } of list.getEntries()) {
        globalThis.shifted.all += value;
        if (!hadRecentInput) globalThis.shifted.alone += value;
      }
    }).observe({ type: 'layout-shift', buffered: true });
  });

/** Counts what is asked for of the module, and what is left listening outside. */
const count = (page) =>
  page.evaluateOnNewDocument(() => {
    const counted = { instances: 0, made: 0, freed: 0, listening: 0, observing: 0 };
    globalThis.counted = counted;
    const Real = WebAssembly.Instance;
    WebAssembly.Instance = function (module, imports) {
      const { exports } = new Real(module, imports);
      counted.instances += 1;
      const tell = (name, what) => ({
        [name]: (...given) => {
          counted[what] += 1;
          return exports[name](...given);
        },
      });
      return {
        exports: { ...exports, ...tell('jobtorque_new', 'made'), ...tell('__wbg_jobtorque_free', 'freed') },
      };
    };
    // What listens to the window, the document or a media query, by what it hears and who hears it.
    const held = new Map();
    const listeners = (target, type) => {
      if (!held.has(target)) held.set(target, new Map());
      if (!held.get(target).has(type)) held.get(target).set(type, new Set());
      return held.get(target).get(type);
    };
    for (const owner of [window, document, MediaQueryList.prototype]) {
      const { addEventListener: add, removeEventListener: remove } = owner;
      owner.addEventListener = function (type, listener, ...more) {
        const target = this ?? window;
        const among = listeners(target, type);
        if (!['answer', 'fault'].includes(type) && !among.has(listener)) counted.listening += 1;
        among.add(listener);
        return add.call(target, type, listener, ...more);
      };
      owner.removeEventListener = function (type, listener, ...more) {
        const target = this ?? window;
        if (listeners(target, type).delete(listener)) counted.listening -= 1;
        return remove.call(target, type, listener, ...more);
      };
    }
    for (const name of ['ResizeObserver', 'IntersectionObserver', 'MutationObserver']) {
      const { observe, disconnect } = globalThis[name].prototype;
      const watched = new WeakMap();
      globalThis[name].prototype.observe = function (...given) {
        watched.set(this, (watched.get(this) ?? 0) + 1);
        counted.observing += 1;
        return observe.apply(this, given);
      };
      globalThis[name].prototype.disconnect = function () {
        counted.observing -= watched.get(this) ?? 0;
        watched.set(this, 0);
        return disconnect.call(this);
      };
    }
  });

/** Names of everything that is read: of the dataset, of questions, of answers and of faults. */
const namesIn = (value) =>
  value === null || typeof value !== 'object'
    ? []
    : Object.entries(value).flatMap(([name, inside]) => [
        ...(Array.isArray(value) ? [] : [name]),
        ...namesIn(inside),
      ]);

/** Names that browsers read from what is handed to them, so that no page with these works. */
const OF_BROWSERS = ['value', 'get', 'set', 'writable', 'enumerable', 'configurable'];

/** A page that has put members with these names into every object and every array, beside what the language has there. */
const pollutedBy = (names) => (page) =>
  page.evaluateOnNewDocument((names) => {
    for (const name of names) {
      for (const all of [Object.prototype, Array.prototype]) {
        if (!Object.hasOwn(all, name)) all[name] = true;
      }
    }
  }, names);

const TEN = Array.from({ length: 10 }, (_, i) =>
  i % 2
    ? `<job-torque id="e${i}" src="results.json" compact job="${300 + 50 * i} N·m"></job-torque>`
    : `<job-torque id="e${i}" src="results.json" job="${300 + 50 * i} N·m"></job-torque>`,
);

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (html, use, { headers = {}, ...more } = {}) =>
        withSite(
          { 'host.html': html },
          (address, asked) => withPage(running, `${address}host.html`, (page) => use(page, asked), more),
          headers,
        );

      for (const kind of ['', ' compact']) {
        await t.test(`hostile styles change nothing in it${kind}`, async () => {
          const element = `<job-torque src="results.json" tool="sorrel-18-medium"${kind}></job-torque>`;
          const seen = async (style) => {
            let found = [];
            await look(host(element, style), async (page) => {
              await answered(page);
              found = await looks(page);
            });
            return found;
          };
          const calm = await seen('');
          const hostile = await seen(HOSTILE);
          assert.ok(calm.length > 40);
          assert.equal(hostile.length, calm.length);
          const changed = hostile.filter((look, i) => look !== calm[i]);
          assert.deepEqual(changed, []);
        });
      }

      await t.test('it does nothing to the page', () =>
        look(host('<job-torque src="results.json" compact></job-torque>'), async (page) => {
          const before = await page.evaluate(() => document.documentElement.outerHTML);
          await answered(page);
          await ask(page, { tool: 'sorrel-18-medium' });
          const after = await page.evaluate(() => [
            document.documentElement.outerHTML.replace(' tool="sorrel-18-medium"', ''),
            location.hash,
            localStorage.length + sessionStorage.length,
            document.cookie,
          ]);
          assert.deepEqual(after, [before, '', 0, '']);
        }),
      );

      await t.test('it lives under the policy that the page how.html names', () => {
        const policy =
          "default-src 'none'; img-src data:; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";
        const bare = host('<job-torque src="results.json"></job-torque>').replace(/<style>[^]*<\/style>/, '');
        return look(
          bare,
          async (page) => {
            const { headline } = await answered(page);
            const shown = await page.evaluate(() => {
              const root = document.querySelector('job-torque').shadowRoot;
              const { headline, width } = {
                headline: root.querySelector('.headline'),
                width: root.querySelector('canvas').width,
              };
              return [headline.textContent, getComputedStyle(headline).fontWeight, width > 300];
            });
            assert.deepEqual(shown, [headline, '700', true]);
          },
          { headers: { 'content-security-policy': policy } },
        );
      });

      await t.test('a job of an article that cannot be read keeps what its author put there', async () => {
        const told = (page) =>
          eventually(page, () => {
            const element = document.querySelector('job-torque');
            const fault = element.shadowRoot?.querySelector('.fault:not([hidden])');
            if (!fault) return null;
            return {
              fault: fault.textContent,
              inside: element.querySelector('em')?.checkVisibility() ?? false,
              form: element.shadowRoot.querySelector('.ask') !== null,
              heard: globalThis.heard.faults.at(-1)?.message,
              answers: globalThis.heard.answers,
            };
          });
        const fault = 'There is no job "wheell nutt" here. Write a torque such as 650 N·m, or choose a job.';
        const misspelt = (inside) =>
          host(`<job-torque src="results.json" job="wheell nutt" pack="slim-4-0">${inside}</job-torque>`);
        for (const inside of ['<p><em>By hand.</em></p>', '<em>By hand.</em>']) {
          await look(misspelt(inside), async (page) => {
            assert.deepEqual(await told(page), {
              fault,
              inside: true,
              form: false,
              heard: fault,
              answers: 0,
            });
            // Misspelt otherwise, it is said anew; set right, it is answered.
            await page.evaluate(() => document.querySelector('job-torque').setAttribute('job', '650 kN·m'));
            const again = await eventually(page, () => globalThis.heard.faults.at(1)?.message);
            assert.match(again, /^We do not know that unit\./);
            assert.equal((await told(page)).inside, true);
            await page.evaluate(() => document.querySelector('job-torque').setAttribute('job', '650 N·m'));
            const { job_torque_nm } = await answered(page);
            assert.equal(job_torque_nm, 650);
          });
        }
        // With nothing inside, the blank is open, and no other job is answered.
        await look(misspelt(''), async (page) => {
          const { form, answers } = await told(page);
          assert.deepEqual([form, answers], [true, 0]);
        });
      });

      await t.test('a finished answer of an article stays where the job cannot be read', async () => {
        const changed = post.replace('<job-torque ', '<job-torque job="wheell nutt" ');
        assert.notEqual(changed, post);
        await look(changed, async (page) => {
          const { headline } = await page.evaluate(() => ({
            headline: document.querySelector('job-torque').shadowRoot.querySelector('.headline').textContent,
          }));
          await wake(page);
          await eventually(page, () => globalThis.heard.faults.length > 0);
          const { shown, fault } = await page.evaluate(() => {
            const { shadowRoot } = document.querySelector('job-torque');
            return {
              shown: shadowRoot.querySelector('[data-baked] .headline').textContent,
              fault: shadowRoot.querySelector('.fault').textContent,
            };
          });
          assert.equal(shown, headline);
          assert.match(fault, /^There is no job "wheell nutt" here\./);
          assert.equal(await page.evaluate(() => globalThis.heard.answers), 0);
        });
      });

      await t.test('what a page puts into every object is not read', async () => {
        const element = host(
          '<job-torque src="results.json" job="650 N·m" tool="sorrel-18-medium"></job-torque>',
        );
        const shown = async (before) => {
          let found = null;
          await look(
            element,
            async (page) => {
              const answer = JSON.stringify(await answered(page));
              const { kind, detail } = await ask(page, { job: '650 lbs' });
              const text = await page.evaluate(
                () => document.querySelector('job-torque').shadowRoot.textContent,
              );
              // The links to copy have the port of this server in them.
              const portless = text.replaceAll(/127\.0\.0\.1:\d+/g, '');
              found = { answer, kind, message: detail.message, text: portless };
            },
            { before },
          );
          return found;
        };
        const clean = await shown(() => undefined);
        const { answer } = clean;
        const names = new Set([
          ...namesIn(await publishedData()),
          ...namesIn(JSON.parse(answer)),
          ...[
            'control',
            'excluded',
            'buildup',
            'narrow',
            'find',
            'reaching',
            'beside',
            'edition',
            'order',
            'stated',
          ],
          ...['pointer', 'problems', 'message', 'key', 'jobtorque', 'texts', 'direction', 'condition'],
        ]);
        const put = [...names].filter((name) => !OF_BROWSERS.includes(name));
        assert.ok(put.length > 150, `${put.length} names`);
        assert.deepEqual(await shown(pollutedBy(put)), clean);
      });

      await t.test('ten elements share one script, one module and one dataset', () =>
        look(
          host(TEN.join('')),
          async (page, asked) => {
            await eventually(page, () => globalThis.heard.answers >= 10);
            const files = asked.filter((name) => name !== 'host.html').sort();
            assert.deepEqual(files, ['job-torque.js', 'job-torque.wasm', 'results.txt', 'texts.json']);
            const { instances, made } = await page.evaluate(() => globalThis.counted);
            assert.deepEqual([instances, made], [1, 1]);
            const headlines = await page.evaluate(() =>
              [...document.querySelectorAll('job-torque')].map(
                (element) => element.shadowRoot.querySelector('.headline').textContent,
              ),
            );
            headlines.forEach((headline, i) => assert.ok(headline.includes(`${300 + 50 * i} N·m`), headline));
          },
          { before: count },
        ),
      );

      await t.test('one that is moved keeps working, one that is removed leaves nothing behind', () =>
        look(
          host(TEN.slice(0, 2).join('')),
          async (page) => {
            await eventually(page, () => globalThis.heard.answers >= 2);
            const answers = () => page.evaluate(() => globalThis.heard.answers);
            const moved = await page.evaluate(async () => {
              const element = document.querySelector('#e0');
              const sheet = element.shadowRoot.querySelector('.sheet');
              const before = { ...globalThis.counted };
              document.body.append(element);
              await new Promise((resolve) => setTimeout(resolve, 100));
              const kept = element.shadowRoot.querySelector('.sheet') === sheet;
              return [kept, JSON.stringify(before) === JSON.stringify(globalThis.counted)];
            });
            assert.deepEqual(moved, [true, true], 'moved');
            const before = await answers();
            await page.evaluate(() => document.querySelector('#e0').setAttribute('tool', 'sorrel-18-medium'));
            await eventually(page, (before) => globalThis.heard.answers > before, before);
            const left = await page.evaluate(async () => {
              globalThis.removed = document.querySelector('#e0');
              for (const element of document.querySelectorAll('job-torque')) element.remove();
              await new Promise((resolve) => setTimeout(resolve, 100));
              const { made, freed, listening, observing } = globalThis.counted;
              return { made, freed, listening, observing };
            });
            assert.deepEqual(left, { made: 1, freed: 1, listening: 0, observing: 0 });
            const gone = await answers();
            await page.evaluate(() => document.body.append(globalThis.removed));
            await eventually(page, (gone) => globalThis.heard.answers > gone, gone);
            const { tool, of } = await page.evaluate(() => globalThis.heard.answer);
            assert.deepEqual([tool, of > 0], ['sorrel-18-medium', true], 'back again');
          },
          { before: count },
        ),
      );
    }),
  );
}

/** Answers of every length. */
const QUESTIONS = [
  { tool: 'sorrel-18-medium' },
  { pack: 'two-row-8-0', job: '650 N·m' },
  { tool: 'vetch-18-small', pack: 'slim-4-0' },
  { pack: 'ten-cell-4-0' },
  { tool: null, pack: null, job: 'heavy-truck-wheel-tighten' },
  { tool: 'sorrel-18-medium', pack: 'two-row-8-0' },
  { job: '500 N·m', direction: 'loosen', condition: '1.5', loss: '10' },
];

const [chromium] = browsers;

for (const width of [360, 800, 1280]) {
  test(
    `at ${width} px nothing of the page moves, at loading or with another answer`,
    { timeout: 120_000 },
    () =>
      withSite({}, (address) =>
        withBrowser(chromium, async (running) => {
          const viewport = { width, height: 1600 };
          const shifts = (page) =>
            page.evaluate(async () => {
              await new Promise((resolve) => setTimeout(resolve, 300));
              return globalThis.shifted;
            });
          await withPage(
            running,
            `${address}post.html`,
            async (page) => {
              await wake(page);
              await answered(page);
              assert.equal((await shifts(page)).all, 0, 'loading');
              const below = () =>
                page.evaluate(() => document.querySelector('job-torque + p').getBoundingClientRect().top);
              const before = await below();
              for (const question of QUESTIONS) {
                await ask(page, question);
                await shifts(page);
                assert.equal(await below(), before, JSON.stringify(question));
              }
            },
            { viewport, before: watchShifts },
          );
          await withPage(
            running,
            `${address}index.html`,
            async (page) => {
              await answered(page);
              assert.equal((await shifts(page)).all, 0, 'loading');
              await page.focus('job-torque >>> select[name="direction"]');
              await page.keyboard.press('ArrowDown');
              await eventually(page, () => globalThis.heard.answers > 1);
              assert.equal((await shifts(page)).alone, 0, 'another answer');
            },
            { viewport, before: watchShifts },
          );
        }),
      ),
  );
}

test('the text stays what it is without script', () => {
  const plain = post.replace(/<template[^]*<\/template>\n/, '');
  assert.match(plain, /<job-torque src="results.json" compact="">\n<p class="notice">Invented data\./);
  const inside = plain.split('<job-torque src')[1].split('</job-torque>')[0];
  for (const said of [
    '28 of 43 pairs of tool and pack have 678 N·m',
    'Edition 3, 11 July 2026',
    'CC0-1.0',
    '<a href="index.html">',
  ]) {
    assert.ok(inside.includes(said), said);
  }
});
