// Loading has limits: a file that is too large is not read, a silent server is told, and one may try again.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import {
  answered,
  browsers,
  eventually,
  packed,
  pageAddress,
  pageAround,
  publishedData,
  site,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const dataset = await readFile(path.join(site, 'results.txt'));
const { texts } = JSON.parse(await readFile(path.join(site, 'texts.json'), 'utf8'));
const DAY = 'The results did not load. You see those of 11 July 2026.';
const MEGABYTE = 1_000_000;

/** The dataset with a note of 20 MB, as the page reads it. */
async function largeData() {
  const data = await publishedData();
  data.days[0].note = ' '.repeat(20 * MEGABYTE);
  return packed(JSON.stringify(data));
}

/** The lines that say what is wrong, whether the plain part shows, and the button's words. */
const seen = (page) =>
  eventually(page, () => {
    const element = document.querySelector('job-torque');
    const faults = [...(element.shadowRoot?.querySelectorAll('.fault:not([hidden])') ?? [])];
    const shown = faults.filter((fault) => fault.getBoundingClientRect().height > 10);
    if (shown.length === 0) return null;
    return {
      lines: shown.map((fault) => fault.textContent),
      plain: (element.querySelector('.headline')?.getBoundingClientRect().height ?? 0) > 20,
      again: element.shadowRoot.querySelector('button')?.textContent ?? null,
    };
  });

/** Makes the page's ten seconds two: a busy machine may pause for one. */
const hurried = (page) =>
  page.evaluateOnNewDocument(() => {
    const wait = globalThis.setTimeout;
    globalThis.setTimeout = (work, time, ...given) => wait(work, time === 10_000 ? 2000 : time, ...given);
  });

const press = (page) =>
  page.evaluate(() => {
    const button = document.querySelector('job-torque').shadowRoot.querySelector('button');
    button.focus();
    button.click();
  });

/** In the page: hears whether anything was painted before its module is read, and how long that took. */
function hearReading() {
  let [isPainted, began] = [false, 0];
  const { define } = customElements;
  customElements.define = function (...all) {
    began = performance.now();
    isPainted = performance.getEntriesByType('paint').length > 0;
    requestAnimationFrame(() => {
      isPainted = true;
    });
    return define.apply(this, all);
  };
  const { compile } = WebAssembly;
  WebAssembly.compile = (...all) => {
    globalThis.read ??= { isPainted, waited: performance.now() - began };
    return compile(...all);
  };
}

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (name, changed, use, more = {}) =>
        withSite(changed, (address) =>
          withPage(running, `${address}${name}`, use, { messages: true, before: hurried, ...more }),
        );

      await t.test('results that are said to be above 64 MB are refused before they are read', async () => {
        let closed = false;
        const large = (request, response) => {
          response.on('close', () => (closed = true));
          response.writeHead(200, {
            'content-type': 'application/json',
            'content-length': 64 * MEGABYTE + 1,
          });
          response.write('{');
        };
        await look('started.html', { 'results.txt': large }, async (page) => {
          const { lines, plain, again } = await seen(page);
          assert.deepEqual(lines, [`${texts['error.too_large']} ${DAY}`]);
          assert.deepEqual([plain, again], [true, null]);
          for (let tries = 0; !closed && tries < 100; tries += 1) await new Promise((r) => setTimeout(r, 20));
          assert.ok(closed, 'the request is aborted');
        });
      });

      await t.test('results whose size nobody says are counted, and dropped above 64 MB', async () => {
        let sent = 0;
        const endless = async (request, response) => {
          let open = true;
          let drained = () => undefined;
          response.on('drain', () => drained());
          response.on('close', () => {
            open = false;
            drained();
          });
          response.writeHead(200, { 'content-type': 'application/json' });
          const piece = Buffer.alloc(MEGABYTE, ' ');
          while (open && sent < 200) {
            sent += 1;
            if (!response.write(piece)) await new Promise((r) => (drained = r));
          }
        };
        await look('started.html', { 'results.txt': endless }, async (page) => {
          const { lines, plain } = await seen(page);
          assert.deepEqual(lines, [`${texts['error.too_large']} ${DAY}`]);
          assert.ok(plain);
          assert.ok(sent >= 64 && sent < 100, `${sent} MB sent`);
        });
      });

      await t.test('a large file below the limit is read', async () =>
        look('started.html', { 'results.txt': await largeData() }, async (page) => {
          await answered(page);
        }),
      );

      await t.test('a source that never answers says so after 10 s, and may be tried again', async () => {
        let asked = 0;
        const silentAtFirst = (request, response) => {
          asked += 1;
          if (asked > 1) response.writeHead(200, { 'content-type': 'application/json' }).end(dataset);
        };
        const started = Date.now();
        await look(
          'started.html',
          { 'results.txt': silentAtFirst },
          async (page) => {
            await new Promise((resolve) => setTimeout(resolve, 9000 - (Date.now() - started)));
            const early = await page.evaluate(() => document.querySelector('job-torque').shadowRoot === null);
            assert.ok(early, 'nothing is said before');
            const { lines, plain, again } = await seen(page);
            assert.ok(Date.now() - started < 15_000);
            assert.deepEqual(lines, [`${texts['error.silent']} ${DAY}`]);
            assert.deepEqual([plain, again], [true, 'Try again']);
            await press(page);
            await answered(page);
            assert.equal(asked, 2);
            const left = await page.evaluate(() => {
              const { shadowRoot } = document.querySelector('job-torque');
              return [
                shadowRoot.querySelectorAll('.fault:not([hidden])').length,
                shadowRoot.activeElement?.classList[0],
              ];
            });
            assert.deepEqual(left, [0, 'sheet'], 'the answer has the focus that the button had');
          },
          { before: () => undefined },
        );
      });

      for (const name of ['texts.json', 'job-torque.wasm', 'results.txt']) {
        await t.test(`${name} that stops halfway is told, and may be tried again`, async () => {
          let asked = 0;
          const whole = await readFile(path.join(site, name));
          const halting = (request, response) => {
            asked += 1;
            response.writeHead(200);
            if (asked > 1) response.end(whole);
            else response.write(whole.subarray(0, 1000));
          };
          await look('started.html', { [name]: halting }, async (page) => {
            const { lines, plain, again } = await seen(page);
            assert.deepEqual([lines, plain, again], [[`${texts['error.silent']} ${DAY}`], true, 'Try again']);
            await press(page);
            await answered(page);
          });
        });
      }

      /** A page with the first part, without the loader. */
      const compact = pageAround('<job-torque src="results.json" compact></job-torque>').replace(
        'job-torque.js',
        'job-torque-first.js',
      );

      await t.test(
        'a summary that never answers is told like the results, and may be tried again',
        async () => {
          let asked = 0;
          const summary = await readFile(path.join(site, 'results-summary.txt'));
          const silentAtFirst = (request, response) => {
            asked += 1;
            if (asked > 1) response.writeHead(200).end(summary);
          };
          const changed = {
            'compact.html': compact,
            'results-summary.txt': silentAtFirst,
            'results.txt': null,
          };
          await look('compact.html', changed, async (page) => {
            const { lines, again } = await seen(page);
            assert.deepEqual([lines, again], [[texts['error.silent']], texts['load.again']]);
            await press(page);
            await answered(page);
            assert.equal(asked, 2);
          });
        },
      );

      await t.test(
        'without a summary, results that stop halfway are told, and may be tried again',
        async () => {
          let asked = 0;
          const halting = (request, response) => {
            asked += 1;
            response.writeHead(200);
            if (asked > 1) response.end(dataset);
            else response.write(dataset.subarray(0, 1000));
          };
          const changed = { 'compact.html': compact, 'results-summary.txt': null, 'results.txt': halting };
          await look('compact.html', changed, async (page) => {
            const { lines, again } = await seen(page);
            assert.deepEqual([lines, again], [[texts['error.silent']], texts['load.again']]);
            await press(page);
            await answered(page);
            const focused = await page.evaluate(
              () => document.querySelector('job-torque').shadowRoot.activeElement?.classList[0],
            );
            assert.deepEqual([asked, focused], [2, 'sheet']);
          });
        },
      );

      await t.test('without a summary, results of another version are refused by their name', () => {
        const other = String(dataset).replace(/^Jobtorque \d/, 'Jobtorque 9');
        const changed = { 'compact.html': compact, 'results-summary.txt': null, 'results.txt': other };
        return look('compact.html', changed, async (page) => {
          const { lines, again } = await seen(page);
          const named = texts['error.other_version'].replace('{file}', 'results.txt');
          assert.deepEqual([lines, again], [[named], null]);
        });
      });

      await t.test('a slow source that goes on sending is waited for', async () => {
        const slow = async (request, response) => {
          response.writeHead(200, { 'content-type': 'application/json' });
          const step = Math.ceil(dataset.length / 8);
          for (let at = 0; at < dataset.length; at += step) {
            response.write(dataset.subarray(at, at + step));
            await new Promise((resolve) => setTimeout(resolve, 500));
          }
          response.end();
        };
        await look('started.html', { 'results.txt': slow }, async (page) => {
          await answered(page);
        });
      });

      await t.test('texts that are missing leave the plain part and one line', async () => {
        await look('started.html', { 'texts.json': null }, async (page) => {
          const { lines, plain, again } = await seen(page);
          assert.deepEqual([lines, plain, again], [[DAY], true, 'Try again']);
        });
        const own = pageAround(
          '<job-torque src="results.json"><p class="headline" style="font-size: 2em">Own words</p></job-torque>',
        );
        await look('own.html', { 'own.html': own, 'texts.json': null }, async (page) => {
          const { lines, plain, again } = await seen(page);
          assert.deepEqual([lines, plain], [[texts['error.no_results']], true]);
          assert.equal(again, texts['load.again']);
        });
      });

      await t.test('two elements with one silent source are each tried again', async () => {
        const two = pageAround('<job-torque src="results.json"></job-torque>'.repeat(2));
        let asked = 0;
        const silentAtFirst = (request, response) => {
          asked += 1;
          if (asked > 1) response.writeHead(200).end(dataset);
        };
        await look('two.html', { 'two.html': two, 'results.txt': silentAtFirst }, async (page) => {
          assert.deepEqual((await seen(page)).lines, [texts['error.silent']]);
          for (const at of [0, 1]) {
            await page.evaluate((at) => {
              document.querySelectorAll('job-torque')[at].shadowRoot.querySelector('button').click();
            }, at);
            await eventually(page, (count) => globalThis.heard.answers === count, at + 1);
          }
          assert.equal(asked, 2, 'loaded once for both');
        });
      });

      await t.test('what stands in the page is read after its first paint', () =>
        withPage(
          running,
          pageAddress(site),
          async (page) => {
            await answered(page);
            const { isPainted, waited } = await page.evaluate(() => globalThis.read);
            assert.ok(isPainted || waited >= 100, `after ${waited} ms`);
          },
          { before: (page) => page.evaluateOnNewDocument(hearReading) },
        ),
      );
    }),
  );
}
