// The element in an article before anybody touches it: finished, and nothing but its small loader is there.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import {
  answered,
  article,
  browsers,
  eventually,
  holdAgainstAxe,
  inside,
  packed,
  publishedData,
  site,
  unoptimisedSite,
  wake,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const script = await readFile(path.join(site, 'job-torque-first.js'));
const summary = await readFile(path.join(site, 'results-summary.txt'));
const results = await readFile(path.join(site, 'results.txt'));
const DAY = 'The results did not load. You see those of 11 July 2026.';

/** The middle of what a selector finds in the first element. */
const middle = async (page, selector) => {
  const found = await page.evaluateHandle((selector) => {
    const element = document.querySelector('job-torque').shadowRoot.querySelector(selector);
    element.scrollIntoView({ block: 'center' });
    return element;
  }, selector);
  const { x, y, width, height } = await found.boundingBox();
  return [x + width / 2, y + height / 2];
};

/** Presses in the middle of what a selector finds, and does not wait for anything. */
const pressOn = async (page, selector) => page.mouse.click(...(await middle(page, selector)));

/** What has the focus in the first element: its name, or its class. */
const focused = (page) =>
  page.evaluate(() => {
    const active = document.querySelector('job-torque').shadowRoot.activeElement;
    return active && (active.name || active.className);
  });

/** How often a file was asked for. */
const times = (asked, file) => asked.filter((name) => name === file).length;

/** What a host has in the place of a summary that is missing or of another program. */
const NO_SUMMARY = {
  none: null,
  'a page': '<!DOCTYPE html>\n<title>Not here</title>\n',
  'one of another version': String(summary).replace(/^Jobtorque \d/, 'Jobtorque 9'),
  'one of a newer format': await packed(
    JSON.stringify({ ...(await publishedData()), format: 'jobtorque/2' }),
    'summary',
  ),
};

/** A script that comes so late that all that is done before is done asleep. */
const late = async (request, response) => {
  await new Promise((resolve) => setTimeout(resolve, 1500));
  response.writeHead(200, { 'content-type': 'text/javascript' }).end(script);
};

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 600_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (name, changed, use, { headers = {}, ...more } = {}) =>
        withSite(
          changed,
          (address, asked) =>
            withPage(running, `${address}${name}`, (page) => use(page, asked), { messages: true, ...more }),
          headers,
        );

      await t.test('nothing but the loader is asked for, and the answer stands there', () =>
        look('post.html', {}, async (page, asked) => {
          await new Promise((resolve) => setTimeout(resolve, 700));
          assert.deepEqual(asked.sort(), ['embed.js', 'post.html']);
          const { text, seen } = await inside(page, '.headline');
          assert.equal(text, 'Made-up data: 28 of 43 pairs of tool and pack have 678 N·m within reach.');
          assert.ok(seen);
          assert.ok((await inside(page, 'svg.drawn')).seen);
          await holdAgainstAxe(page, 'asleep');
        }),
      );

      const ways = {
        'pointing at it': async (page) => page.mouse.move(...(await middle(page, '.headline'))),
        'a touch': async (page) => page.touchscreen.tap(...(await middle(page, '.headline'))),
        'the focus': wake,
        'the tabulator key': (page) => page.keyboard.press('Tab'),
      };
      for (const [way, touch] of Object.entries(ways)) {
        await t.test(`${way} starts it`, () =>
          look('post.html', {}, async (page, asked) => {
            await new Promise((resolve) => setTimeout(resolve, 300));
            assert.deepEqual(asked.sort(), ['embed.js', 'post.html']);
            const before = (await inside(page, '.headline')).text;
            await touch(page);
            const { headline } = await answered(page);
            assert.equal((await inside(page, '.headline')).text, headline);
            assert.equal(headline, before);
            for (const file of [
              'job-torque-first.js',
              'job-torque-first.wasm',
              'results-summary.txt',
              'texts-first.json',
            ]) {
              assert.equal(times(asked, file), 1, file);
            }
            assert.ok(!asked.includes('results.txt'), 'the results of the whole');
          }),
        );
      }

      await t.test('a job that cannot be read is told once, and what is typed then is answered', () => {
        const html = article(
          '<job-torque src="results.json" job="nonsense" compact start="at-once"></job-torque>',
        );
        return look('unread.html', { 'unread.html': html }, async (page, asked) => {
          await eventually(page, () => {
            const blank = document.querySelector('job-torque').shadowRoot?.querySelector('[name="job"]');
            return blank?.value === 'nonsense';
          });
          await page.mouse.click(...(await middle(page, '[name="job"]')));
          await page.keyboard.down('Control');
          await page.keyboard.press('a');
          await page.keyboard.up('Control');
          await page.keyboard.type('300 N·m');
          await page.keyboard.press('Enter');
          await eventually(page, () =>
            document
              .querySelector('job-torque')
              .shadowRoot.querySelector('.headline')
              ?.textContent.includes('300'),
          );
          for (const file of ['results-summary.txt', 'results.txt'])
            assert.equal(times(asked, file), 1, file);
        });
      });

      await t.test('the attribute start="at-once" starts it', () => {
        const html = article(
          '<job-torque src="results.json" compact start="at-once"><p>Plain.</p></job-torque>',
        );
        return look('at-once.html', { 'at-once.html': html }, answered);
      });

      await t.test('an address that is none wakes it all the same, and is said', () => {
        const html = article('<job-torque src="http://[" compact start="at-once"></job-torque>');
        return look('nowhere.html', { 'nowhere.html': html }, async (page) => {
          const told = () => {
            const root = document.querySelector('job-torque').shadowRoot;
            return root?.querySelector('a.onwards') && root.querySelector('.fault').textContent;
          };
          assert.match(await eventually(page, told), /^The results did not load\./);
        });
      });

      await t.test('one without a finished answer can be reached by keyboard', () => {
        const html = article('<job-torque src="results.json" compact><p>Plain.</p></job-torque>');
        return look('plain.html', { 'plain.html': html }, async (page) => {
          await eventually(page, () => document.querySelector('job-torque').tabIndex === 0);
          await page.keyboard.press('Tab');
          assert.equal(await page.evaluate(() => document.activeElement.localName), 'job-torque');
          await answered(page);
          await eventually(page, () => !document.querySelector('job-torque').hasAttribute('tabindex'));
          assert.equal(await focused(page), 'direction');
        });
      });

      await t.test('a torque that was typed and entered asleep is answered', () =>
        look('post.html', { 'job-torque-first.js': late }, async (page) => {
          await pressOn(page, '[name="job"]');
          await page.keyboard.type('412 N·m');
          await page.keyboard.press('Enter');
          await eventually(page, () => globalThis.heard.answer?.job_torque_nm === 412);
          assert.match((await inside(page, '.headline')).text, /412 N·m/);
          assert.equal(await focused(page), 'job');
        }),
      );

      await t.test('a torque that is being typed stays, and typing goes on', () =>
        look('post.html', { 'job-torque-first.js': late }, async (page) => {
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('[name="job"]').focus(),
          );
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('[name="job"]').select(),
          );
          await page.keyboard.type('41');
          await answered(page);
          assert.equal(await focused(page), 'job');
          await page.keyboard.type('3 N·m');
          await page.keyboard.press('Enter');
          await eventually(page, () => globalThis.heard.answer?.job_torque_nm === 413);
        }),
      );

      await t.test('a torque that was typed and left is answered', () =>
        look('post.html', { 'job-torque-first.js': late }, async (page) => {
          await pressOn(page, '[name="job"]');
          await page.keyboard.type('414 N·m');
          // Not onwards: the sentence of a torque has no unit of its own.
          await page.keyboard.down('Shift');
          await page.keyboard.press('Tab');
          await page.keyboard.up('Shift');
          const next = await focused(page);
          await eventually(page, () => globalThis.heard.answer?.job_torque_nm === 414);
          assert.equal(next, 'direction');
          assert.equal(await focused(page), next);
        }),
      );

      await t.test('a choice that was made asleep is answered', () =>
        look('post.html', { 'job-torque-first.js': late }, async (page) => {
          await page.evaluate(() => {
            const list = document.querySelector('job-torque').shadowRoot.querySelector('[name="tool"]');
            list.focus();
            list.value = 'sorrel-18-medium';
          });
          await eventually(page, () => globalThis.heard.answer?.tool === 'sorrel-18-medium');
          assert.equal(await focused(page), 'tool');
        }),
      );

      await t.test('a press on a list or a button is repeated', async () => {
        const shown = (page) =>
          page.evaluateOnNewDocument(() => {
            globalThis.opened = [];
            HTMLSelectElement.prototype.showPicker = function () {
              globalThis.opened.push([
                this.name,
                Boolean(this.closest('form')),
                navigator.userActivation?.isActive,
              ]);
            };
          });
        await look(
          'post.html',
          { 'job-torque-first.js': late },
          async (page) => {
            await pressOn(page, '[name="pack"]');
            await answered(page);
            const [opened] = await eventually(page, () => globalThis.opened.length > 0 && globalThis.opened);
            assert.deepEqual(opened, ['pack', true, true], 'the live list, while the press still counts');
            assert.equal(await focused(page), 'pack');
          },
          { before: shown },
        );
        await look('post.html', { 'job-torque-first.js': late }, async (page) => {
          await pressOn(page, '.ask button');
          await answered(page);
          await eventually(
            page,
            () =>
              document.querySelector('job-torque').shadowRoot.querySelector('.ask button').ariaExpanded ===
              'true',
          );
        });
        await look('post.html', { 'job-torque-first.js': late }, async (page) => {
          await pressOn(page, '[name="job"]');
          await answered(page);
          await eventually(page, () => {
            const popup = document.querySelector('job-torque').shadowRoot.querySelector('.popup');
            return popup && popup.getBoundingClientRect().height > 5;
          });
        });
      });

      await t.test('the chart is read where it was pointed at or pressed', async () => {
        const box = (page) =>
          eventually(page, () => {
            const read = document
              .querySelector('job-torque')
              .shadowRoot.querySelector('.reading:not([hidden])');
            return read && [read.querySelector('.at').getBoundingClientRect().x, read.textContent];
          });
        await look('post.html', { 'job-torque-first.js': late }, async (page) => {
          const [x, y] = await middle(page, '.plot');
          await page.mouse.move(x, y);
          await page.mouse.move(x + 60, y);
          const [at, text] = await box(page);
          assert.ok(Math.abs(at - x - 60) < 12, `${at} ${x + 60}`);
          assert.match(text, /N·m/);
        });
        await look('post.html', { 'job-torque-first.js': late }, async (page) => {
          const [x, y] = await middle(page, '.plot');
          await page.mouse.click(x - 50, y);
          const [at] = await box(page);
          assert.ok(Math.abs(at - x + 50) < 12, `${at} ${x - 50}`);
          assert.equal(await focused(page), 'time');
        });
      });

      await t.test('a script that does not come is told, and a second touch tries again', async () => {
        let tries = 0;
        const failing = (request, response) => {
          tries += 1;
          if (tries === 1) response.writeHead(503).end();
          else response.writeHead(200, { 'content-type': 'text/javascript' }).end(script);
        };
        await look('post.html', { 'job-torque-first.js': failing }, async (page) => {
          await page.mouse.move(...(await middle(page, '.headline')));
          await eventually(page, () => {
            const line = document.querySelector('job-torque').shadowRoot.querySelector('.fault');
            return !line.hidden;
          });
          assert.deepEqual(await inside(page, '.fault'), { text: DAY, seen: true });
          assert.ok((await inside(page, '.headline')).seen);
          await pressOn(page, '.headline');
          await answered(page);
          assert.equal(tries, 2);
        });
      });

      await t.test('results that do not come are told, and a second touch tries again', async () => {
        const failing = (served) => {
          let tries = 0;
          return (request, response) => {
            tries += 1;
            if (tries === 1) response.writeHead(503).end();
            else response.writeHead(200, { 'content-type': 'text/plain' }).end(served);
          };
        };
        const changed = { 'results-summary.txt': failing(summary), 'results.txt': failing(results) };
        await look('post.html', changed, async (page, asked) => {
          await wake(page);
          await eventually(page, () => globalThis.heard.faults.length === 1);
          const { text, seen } = await inside(page, '.fault');
          assert.deepEqual([text, seen], [`${DAY} Try again`, true]);
          assert.ok((await inside(page, '.headline')).seen);
          assert.ok((await inside(page, 'svg.drawn')).seen);
          await pressOn(page, '.headline');
          await answered(page);
          const asks = ['results-summary.txt', 'results.txt'].map((file) => times(asked, file));
          assert.deepEqual(asks, [2, 1]);
          assert.ok(!(await inside(page, '.fault')).seen);
        });
      });

      for (const [what, there] of Object.entries(NO_SUMMARY)) {
        await t.test(`where the summary should be there is ${what}: the whole answers`, () =>
          look('post.html', { 'results-summary.txt': there }, async (page, asked) => {
            const before = (await inside(page, '.headline')).text;
            await wake(page);
            assert.equal((await answered(page)).headline, before);
            assert.equal(await focused(page), 'direction');
            const files = ['results-summary.txt', 'results.txt', 'texts.json', 'job-torque.js'];
            for (const file of files) assert.equal(times(asked, file), 1, file);
            assert.deepEqual(await page.evaluate(() => globalThis.heard.faults), []);
          }),
        );
      }

      await t.test('the summary is named like the results, and lies beside them', async () => {
        const files = { 'spring.json': null, 'spring.txt': results, 'spring-summary.txt': summary };
        for (const edition of [1, 2]) {
          const name = `summary-${edition}.txt`;
          files[`spring-${name}`] = await readFile(path.join(site, `results-${name}`), 'utf8');
        }
        for (const [src, compact, file] of [
          ['spring.json', 'compact', 'spring-summary.txt'],
          ['spring.txt?day=2#x', 'compact', 'spring-summary.txt'],
          ['./spring.json?day=2', '', 'spring.txt'],
          ['spring.txt', '', 'spring.txt'],
          ['spring.json" edition="2', 'compact', 'spring-summary-2.txt'],
          ['spring.json?day=2" edition="1', 'compact', 'spring-summary-1.txt'],
          ['spring.json" edition="2', '', 'spring.txt'],
        ]) {
          const html = article(`<job-torque src="${src}" ${compact} start="at-once"></job-torque>`);
          await look('named.html', { ...files, 'named.html': html }, async (page, asked) => {
            await answered(page);
            assert.deepEqual(
              asked.filter((name) => name.startsWith('spring')),
              [file],
              src,
            );
          });
        }
      });

      await t.test('a site without a first part is asked for no summary', () => {
        const html = article('<job-torque src="results.json" compact start="at-once"></job-torque>');
        return withSite(
          { 'plain.html': html },
          (address, asked) =>
            withPage(running, `${address}plain.html`, async (page) => {
              await answered(page);
              const read = asked.filter((name) => name.startsWith('results'));
              assert.deepEqual(read, ['results.txt']);
            }),
          {},
          unoptimisedSite,
        );
      });

      await t.test('beside an element that is not compact, the whole reads its results alone', () => {
        const html = article(
          '<job-torque src="results.json" compact start="at-once"></job-torque><job-torque src="results.json"></job-torque>',
        );
        return look('both.html', { 'both.html': html }, async (page, asked) => {
          await eventually(page, () => globalThis.heard.answers >= 2);
          const asks = ['results-summary.txt', 'results.txt'].map((file) => times(asked, file));
          assert.deepEqual(asks, [0, 1]);
        });
      });
    }),
  );
}
