// What is shown where something is missing, refused or broken: always a sentence, and never an empty place.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  eventually,
  listed,
  packed,
  pageAround,
  site,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const dataset = await readFile(path.join(site, 'results.json'), 'utf8');
const page = await readFile(path.join(site, 'index.html'), 'utf8');
const textsFile = await readFile(path.join(site, 'texts.json'), 'utf8');

const E2 = 'This browser cannot run the live part. The table below still holds.';
const E2_BRIEF = 'This browser cannot run the live part. The answer below still holds.';
const E3 = 'The results did not load. You see those of 11 July 2026.';
const E4 = 'The results did not load. Try again, or open the plain table.';

const E5 = (name) =>
  `${name} does not belong to this page: it is of another version. Please reload the page.`;

/** The version in the mark of the files. */
const version = JSON.parse(dataset).jobtorque.split(' ')[1];
const [program, build] = version.split('+');

/** A file of the site that carries another version, which is as long. @param {string} name */
async function ofVersion(name, other) {
  assert.equal(other.length, version.length);
  const file = await readFile(path.join(site, name), 'latin1');
  assert.ok(file.includes(`Jobtorque ${version} `), `${name} carries the version`);
  return Buffer.from(file.replaceAll(version, other), 'latin1');
}

const OTHER_BUILD = `${program}+${build.replaceAll(/./g, (sign) => (sign === '0' ? '1' : '0'))}`;
const OTHER_PROGRAM = `9${program.slice(1)}+${build}`;

/** The dataset with some change, as the page reads it. */
const changedData = (change) => {
  const data = JSON.parse(dataset);
  change(data);
  return packed(JSON.stringify(data));
};

/** What the element says, and whether its plain part can be seen. */
const seen = (page) =>
  eventually(page, () => {
    const element = document.querySelector('job-torque');
    const fault = element.shadowRoot?.querySelector('.fault:not([hidden])');
    if (!fault) return null;
    return {
      text: fault.textContent,
      plain: (element.querySelector('.headline')?.getBoundingClientRect().height ?? 0) > 20,
      link: element.shadowRoot.querySelector('a.onwards')?.getAttribute('href') ?? null,
      heard: globalThis.heard.faults.at(-1) ?? null,
    };
  });

/** Lets the module's next calls trap to what `globalThis.trapping` names, as many as `globalThis.traps` says. */
const trapping = (page) =>
  page.evaluateOnNewDocument(() => {
    globalThis.traps = 0;
    globalThis.trapping = 'ask';
    globalThis.instances = 0;
    const Real = WebAssembly.Instance;
    WebAssembly.Instance = function (module, imports) {
      const instance = new Real(module, imports);
      globalThis.instances += 1;
      const trapped = Object.entries(instance.exports).map(([name, given]) => {
        if (typeof given !== 'function') return [name, given];
        const called = (...values) => {
          if (globalThis.traps > 0 && name === `jobtorque_${globalThis.trapping}`) {
            globalThis.traps -= 1;
            throw new WebAssembly.RuntimeError('a trap on purpose');
          }
          return given(...values);
        };
        return [name, called];
      });
      return { exports: Object.fromEntries(trapped) };
    };
  });

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (name, changed, use, { headers = {}, ...more } = {}) =>
        withSite(
          changed,
          (address) => withPage(running, `${address}${name}`, use, { messages: true, ...more }),
          headers,
        );

      await t.test('results that do not come leave those of the page, with their date', () =>
        look('started.html', { 'results.txt': null }, async (page) => {
          const { text, plain, heard } = await seen(page);
          assert.deepEqual([text, plain], [E3, true]);
          assert.equal(heard.message, E3);
        }),
      );

      await t.test('nor do they if no text comes at all', () =>
        look('started.html', { 'results.txt': null, 'texts.json': null }, async (page) => {
          assert.equal((await seen(page)).text, E3);
        }),
      );

      await t.test('a page with its own copy stays alive with it', () => {
        const asking = page.replace('<job-torque fragment="">', '<job-torque fragment="" src="gone.json">');
        const open = asking.replace("default-src 'none'", "default-src 'none'; connect-src 'self'");
        assert.notEqual(open, asking);
        return look('copy.html', { 'copy.html': open }, async (page) => {
          assert.ok((await answered(page)).of > 40);
          assert.equal((await seen(page)).text, E3);
          const { kind } = await ask(page, { tool: 'sorrel-18-medium' });
          assert.equal(kind, 'answer');
          assert.equal((await seen(page)).text, E3, 'it stays said');
        });
      });

      await t.test('without results and without a copy there is a way to the plain table', () => {
        const empty = pageAround('<job-torque src="gone.json"></job-torque>');
        return look('bare.html', { 'bare.html': empty }, async (page) => {
          const { text, link } = await seen(page);
          assert.equal(text, E4);
          assert.match(link, /\/index\.html/);
        });
      });

      await t.test('a dataset of which a byte was changed, or the end is missing, is not shown', async () => {
        const whole = await readFile(path.join(site, 'results.txt'));
        const changed = Buffer.from(whole);
        changed[changed.length >> 1] ^= 1;
        for (const faulty of [changed, whole.subarray(0, -1)]) {
          await look('started.html', { 'results.txt': faulty }, async (page) => {
            const { text, plain, heard } = await seen(page);
            assert.equal(text, 'This file has 1 fault, so we show nothing from it.');
            assert.ok(plain);
            assert.match(heard.problems[0].message, /bytes that were changed, or are not all/);
          });
        }
      });

      await t.test('a dataset that `page` did not write says what to run', async () =>
        look(
          'started.html',
          { 'results.txt': await changedData((data) => delete data.jobtorque) },
          async (page) => {
            const { text, plain, heard } = await seen(page);
            assert.equal(
              text,
              'This file was not written by jobtorque page. Run that command, and use the results.txt it writes.',
            );
            assert.ok(plain);
            assert.deepEqual(
              heard.problems.map(({ pointer }) => pointer),
              ['/jobtorque'],
            );
          },
        ),
      );

      await t.test(
        'what a host puts in the place of a missing dataset is not taken for another version',
        async () => {
          for (const other of ['', '<!DOCTYPE html>\n<title>Not here</title>\n', '{"jobtorque": 1}']) {
            await look('started.html', { 'results.txt': other }, async (page) => {
              const { text, plain } = await seen(page);
              assert.match(text, /^This file was not written by jobtorque page\./, other);
              assert.ok(plain);
            });
          }
        },
      );

      await t.test('a dataset newer than the page says so', async () => {
        const newer = await changedData((data) => (data.format = 'jobtorque/2'));
        return look('started.html', { 'results.txt': newer }, async (page) => {
          const { text, plain } = await seen(page);
          assert.equal(text, 'This file is newer than this page. Please reload the page.');
          assert.ok(plain);
        });
      });

      for (const [name, other] of [
        ['texts.json', OTHER_BUILD],
        ['job-torque.wasm', OTHER_BUILD],
        ['job-torque.js', OTHER_BUILD],
        ['results.txt', OTHER_PROGRAM],
      ]) {
        await t.test(`${name} of another version is refused by name`, async () => {
          const changed = { [name]: await ofVersion(name, other) };
          // The script cannot name itself: it names the first file that does not go with it.
          const named = name === 'job-torque.js' ? 'texts.json' : name;
          await look('started.html', changed, async (page) => {
            const { text, plain, heard } = await seen(page);
            assert.deepEqual([text, plain], [E5(named), true]);
            assert.equal(heard.message, text);
          });
          const bare = pageAround('<job-torque src="./results.json?x#y"></job-torque>');
          await look('bare.html', { ...changed, 'bare.html': bare }, async (page) => {
            assert.equal((await seen(page)).text, E5(named));
          });
        });
      }

      await t.test('texts of which some are missing are refused by name', () => {
        const texts = JSON.parse(textsFile);
        delete texts.texts['error.loss'];
        return look('started.html', { 'texts.json': JSON.stringify(texts) }, async (page) => {
          const { text, plain } = await seen(page);
          assert.deepEqual([text, plain], [E5('texts.json'), true]);
        });
      });

      for (const [kind, change] of [
        ['of another build of the program', (data) => (data.jobtorque = `Jobtorque ${OTHER_BUILD} sha256:0`)],
      ]) {
        await t.test(`results ${kind} are shown`, async () =>
          look('started.html', { 'results.txt': await changedData(change) }, async (page) => {
            assert.ok((await answered(page)).of > 40);
          }),
        );
      }

      await t.test('texts that do not come leave the plain part and one line', async () => {
        await look('started.html', { 'texts.json': null }, async (page) => {
          const { text, plain } = await seen(page);
          assert.deepEqual([text, plain], [E3, true]);
        });
        const bare = pageAround('<job-torque src="results.json"></job-torque>');
        for (const texts of [null, '{"texts": {', 'null']) {
          await look('bare.html', { 'bare.html': bare, 'texts.json': texts }, async (page) => {
            const { text, link, heard } = await seen(page);
            assert.equal(text, texts === 'null' ? E5('texts.json') : E4);
            assert.match(link, /\/index\.html/);
            assert.equal(heard.message, text);
          });
        }
      });

      await t.test('a browser or a policy without WebAssembly leaves the plain part', async () => {
        const headers = { 'content-security-policy': "script-src 'self'" };
        await look(
          'started.html',
          {},
          async (page) => {
            const { text, plain } = await seen(page);
            assert.deepEqual([text, plain], [E2_BRIEF, true]);
          },
          { headers },
        );
        const refused = page.replace(" 'wasm-unsafe-eval'", '');
        await look('refused.html', { 'refused.html': refused }, async (page) => {
          const { text, plain } = await seen(page);
          assert.deepEqual([text, plain], [E2, true]);
        });
        await look('started.html', { 'job-torque.wasm': null }, async (page) => {
          assert.equal((await seen(page)).text, E2_BRIEF);
        });
      });

      await t.test('a damaged module in the page is refused, and leaves the plain part', async () => {
        const [whole, text] = page.match(/ id="jobtorque-module">([^<]*)<\/script>/);
        // The last byte is in the mark's hash: such a module compiles, and is of this version.
        const other = text.endsWith(text[8]) ? text[9] : text[8];
        for (const damaged of [`${text.slice(0, -1)}${other}`, text.slice(0, -1), text.slice(0, 200)]) {
          const html = page.replace(whole, () => whole.replace(text, () => damaged));
          assert.notEqual(html, page);
          await look('damaged.html', { 'damaged.html': html }, async (page) => {
            const { text, plain } = await seen(page);
            assert.deepEqual([text, plain], [E2, true]);
          });
        }
      });

      await t.test('after a trap a new instance answers alike, after a second the plain part stands', () =>
        look(
          'started.html',
          {},
          async (page) => {
            const first = await answered(page);
            const times = async () => (await listed(page)).map(({ time_to_job_s }) => time_to_job_s);
            const before = await times();
            await page.evaluate(() => (globalThis.traps = 1));
            const again = await ask(page, { job: `${first.job_torque_nm} N·m` });
            assert.equal(again.kind, 'answer');
            assert.ok(before.length > 1);
            assert.deepEqual(await times(), before);
            assert.deepEqual(await page.evaluate(() => [globalThis.traps, globalThis.instances]), [0, 2]);
            await page.evaluate(() => (globalThis.traps = 1));
            const { kind } = await ask(page, { job: '500 N·m' });
            assert.equal(kind, 'fault');
            const { text, plain } = await seen(page);
            assert.deepEqual([text, plain], [E2_BRIEF, true]);
          },
          { before: trapping },
        ),
      );

      for (const [name, touch] of [
        ['draw', (element) => (element.style.width = '300px')],
        ['readings', (element, root) => root.querySelector('.plot .time').focus()],
        ['take', (element, root) => root.querySelector('[name="take.text"]').click()],
        ['take', (element, root) => root.querySelector('[name="take.chart"]').click()],
        ['found', (element, root) => root.querySelector('[name="job"]').click()],
      ]) {
        await t.test(`a trap on the way to ${name} is told like any other`, () =>
          look(
            'started.html',
            {},
            async (page) => {
              await answered(page);
              await page.evaluate(
                (name, touch) => {
                  const element = document.querySelector('job-torque');
                  [globalThis.traps, globalThis.trapping] = [2, name];
                  new Function('element', 'root', `(${touch})(element, root)`)(element, element.shadowRoot);
                },
                name,
                String(touch),
              );
              const { text, plain, heard } = await seen(page);
              assert.deepEqual([text, plain], [E2_BRIEF, true]);
              assert.equal(heard.message, E2_BRIEF);
              assert.equal(await page.evaluate(() => globalThis.traps), 0);
            },
            { before: trapping },
          ),
        );
      }
    }),
  );
}
