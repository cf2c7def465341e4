// What may be taken along: the link, the answer as text, the exact table, the chart as a picture.
import assert from 'node:assert/strict';
import test from 'node:test';
import { keepDownloads, offered, press } from './downloads.mjs';
import {
  answered,
  ask,
  browsers,
  eventually,
  pageAddress,
  onTheCommandLine,
  site,
  withBrowser,
  withPage,
} from './harness.mjs';

const CHOICE = { tool: 'sorrel-18-medium', pack: 'two-row-8-0', job: '650 N·m' };

/** A clipboard that keeps what it is given, or refuses. */
const clipboard = (page, refuses) =>
  page.evaluateOnNewDocument((refuses) => {
    globalThis.copied = null;
    const writeText = async (text) => {
      if (refuses) throw new Error('refused on purpose');
      globalThis.copied = text;
    };
    Object.defineProperty(navigator, 'clipboard', { value: { writeText } });
  }, refuses);

const status = (page) =>
  page.evaluate(
    () => document.querySelector('job-torque').shadowRoot.querySelector('.sheet > .status').textContent,
  );

/** The same for those who see. */
const said = (page) =>
  page.evaluate(() => {
    const done = document.querySelector('job-torque').shadowRoot.querySelector('.take .done');
    return done.getBoundingClientRect().height > 10 ? done.textContent : '';
  });

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (use, refuses = false) =>
        withPage(running, pageAddress(site), use, {
          before: async (page) => {
            await keepDownloads(page);
            await clipboard(page, refuses);
          },
        });

      await t.test('the link leads to the same answer', () =>
        look(async (page) => {
          await answered(page);
          const { detail } = await ask(page, CHOICE);
          await press(page, 'take.link');
          const link = await eventually(page, () => globalThis.copied);
          assert.equal(await status(page), 'Copied.');
          assert.equal(await said(page), 'Copied.');
          assert.ok(link.startsWith(`${pageAddress(site)}#`), link);
          await withPage(running, link, async (other) => {
            assert.deepEqual(await answered(other), detail);
          });
          await ask(page, { job: '700 N·m' });
          assert.equal(await said(page), '', 'another answer was not copied');
        }),
      );

      await t.test('the answer as text says what whoever reads it elsewhere must know', () =>
        look(async (page) => {
          await answered(page);
          const { detail } = await ask(page, CHOICE);
          await press(page, 'take.text');
          const lines = (await eventually(page, () => globalThis.copied)).split('\n');
          assert.equal(lines[0], 'Invented data. These tools do not exist.');
          assert.equal(lines[1], 'Question: 650 N·m to loosen.');
          assert.equal(lines[2], detail.headline);
          const text = lines.join(' ');
          for (const said of [
            ...detail.lines,
            ...detail.cautions,
            ...detail.rests_on,
            'Sorrel 18 medium with two-row 8.0',
            'Setup: ',
            'Edition 3, 11 July 2026.',
            'Licence: CC0-1.0.',
          ]) {
            assert.ok(text.includes(said), said);
          }
        }),
      );

      await t.test('where the clipboard refuses, the text stands there selected', () =>
        look(async (page) => {
          const { headline } = await answered(page);
          await press(page, 'take.text');
          const [text, selected, focused] = await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            const field = root.querySelector('textarea:not([hidden])');
            if (!field) return null;
            const { value, selectionStart, selectionEnd } = field;
            return [value, selectionEnd - selectionStart === value.length, root.activeElement === field];
          });
          assert.ok(text.includes(headline));
          assert.ok(selected && focused);
          assert.equal(await status(page), 'The browser did not copy it. The text is selected below.');
        }, true),
      );

      await t.test('the table has the same bytes as on the command line', () =>
        look(async (page) => {
          await answered(page);
          await ask(page, CHOICE);
          await press(page, 'take.table');
          const { name, type, text } = await offered(page);
          assert.match(name, /^650-n-m-.*\.csv$/);
          assert.equal(type, 'text/csv;charset=utf-8');
          const stdout = await onTheCommandLine('rank', '--csv', '--job', CHOICE.job);
          assert.equal(text, stdout);
        }),
      );

      await t.test('the picture holds the chart, and what stands above and below it', () =>
        look(async (page) => {
          await answered(page);
          await ask(page, CHOICE);
          await press(page, 'take.chart');
          await eventually(page, () => globalThis.offered.at(-1)?.name);
          const { name, bytes } = await offered(page);
          assert.match(name, /^650-n-m-.*\.png$/);
          const png = Buffer.from(bytes);
          assert.equal(png.subarray(1, 4).toString(), 'PNG');
          assert.equal(png.readUInt32BE(16), 1920);
          assert.ok(png.readUInt32BE(20) > 1000);
          // Words leave ink in the bands above and below the chart, lines and band colour within it.
          const inked = await page.evaluate(async () => {
            const picture = await createImageBitmap(globalThis.offered.at(-1).blob);
            const canvas = new OffscreenCanvas(picture.width, picture.height);
            const context = canvas.getContext('2d', { willReadFrequently: true });
            context.drawImage(picture, 0, 0);
            const parts = [0.02, 0.3, 0.85].map((from) => {
              const top = Math.round(picture.height * from);
              const { data } = context.getImageData(0, top, picture.width, Math.round(picture.height * 0.12));
              let dark = 0;
              for (let i = 0; i < data.length; i += 4)
                if (data[i] + data[i + 1] + data[i + 2] < 480) dark += 1;
              return dark;
            });
            return parts;
          });
          assert.ok(
            inked.every((dark) => dark > 500),
            inked.join(),
          );
        }),
      );

      await t.test('all of it is reached by keyboard', () =>
        look(async (page) => {
          await answered(page);
          const seen = new Set();
          for (let presses = 0; presses < 60; presses += 1) {
            await page.keyboard.press('Tab');
            seen.add(
              await page.evaluate(() =>
                document.activeElement?.shadowRoot?.activeElement?.getAttribute('name'),
              ),
            );
          }
          for (const name of ['take.link', 'take.text', 'take.table', 'take.chart', 'take.page']) {
            assert.ok(seen.has(name), name);
          }
        }),
      );
    }),
  );
}
