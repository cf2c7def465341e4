// Nothing happens out of sight: the answer in short, rows that stay under the finger, the way back.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answered,
  article,
  browsers,
  eventually,
  listen,
  pageAddress,
  site,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const PHONE = { width: 360, height: 640 };
const PAIR = 'tool=sorrel-18-medium&pack=two-row-8-0&job=650%20N%C2%B7m';

/** Scrolls a button of a pair to a height of the window, presses it, and says where its row stood and then stands. */
const press = async (page, selector, height) => {
  const before = await page.evaluate(
    ([selector, height]) => {
      const root = document.querySelector('job-torque').shadowRoot;
      const button = [...root.querySelectorAll(selector)].find((one) => one.checkVisibility());
      const row = button.closest('[data-pair]');
      scrollBy({ top: row.getBoundingClientRect().top - height, behavior: 'instant' });
      globalThis.pressed = row.dataset.pair;
      return { pair: row.dataset.pair, scrolled: scrollY };
    },
    [selector, height],
  );
  // What watches the headline tells of it after a frame.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 60))));
  return page.evaluate(
    async ([selector, before]) => {
      const root = document.querySelector('job-torque').shadowRoot;
      const section = selector.split(' ')[0];
      const row = () => root.querySelector(`${section} [data-pair="${before.pair}"]`);
      const top = row().getBoundingClientRect().top;
      row().querySelector('.pair').click();
      const soon = row()?.getBoundingClientRect().top ?? null;
      await new Promise((done) => setTimeout(done, 500));
      const line = root.querySelector('.brief:not([hidden]) > div')?.getBoundingClientRect();
      const own = row()?.getBoundingClientRect();
      return {
        pair: before.pair,
        scrolled: scrollY - before.scrolled,
        top,
        soon,
        later: own?.top ?? null,
        line: line && { top: line.top, bottom: line.bottom, height: line.height },
        covered: Boolean(line && own && own.bottom > line.top + 1 && own.top < line.bottom - 1),
        brief: [...root.querySelectorAll('.brief:not([hidden]) span')]
          .filter((part) => part.checkVisibility())
          .map((part) => part.textContent.replaceAll('\u00a0', ' ')),
        wide: document.documentElement.scrollWidth - innerWidth,
      };
    },
    [selector, before],
  );
};

const headline = () => {
  const { top, bottom } = document
    .querySelector('job-torque')
    .shadowRoot.querySelector('.headline')
    .getBoundingClientRect();
  return top >= 0 && bottom <= innerHeight;
};

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const open = (use, viewport = PHONE, fragment = PAIR) =>
        withPage(running, `${pageAddress(site)}#${fragment}`, use, { viewport });

      await t.test('the answer stands in one line while the headline is out of sight', () =>
        open(async (page) => {
          await answered(page);
          const seen = await press(page, '.field tr:not([aria-current]) .pair', 120);
          const { answer } = await page.evaluate(() => globalThis.heard);
          assert.equal(answer.brief[0], 'Invented data.');
          assert.match(answer.brief[1], /^650 N·m: .*\.$/);
          assert.match(answer.brief[2], /^Place \d+ of \d+\.$/);
          assert.deepEqual(seen.brief, answer.brief.slice(0, 2), 'without the place on a phone');
          // At the lower edge of the window, or where the element ends.
          assert.ok(seen.line.bottom > 400 && seen.line.bottom <= 641, `${seen.line.bottom}`);
          assert.ok(seen.line.height < 48, `${seen.line.height} px high`);
          assert.ok(seen.wide <= 0 && !seen.covered);
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('.brief button').click(),
          );
          assert.ok(await page.evaluate(headline), 'the headline is in view');
          assert.ok(
            await page.evaluate(() =>
              document.querySelector('job-torque').shadowRoot.activeElement.matches('.headline'),
            ),
          );
          await eventually(page, () =>
            Boolean(document.querySelector('job-torque').shadowRoot.querySelector('.brief[hidden]')),
          );
        }),
      );

      await t.test('the line stands above what was pressed far below', () =>
        open(async (page) => {
          await answered(page);
          const seen = await press(page, '.field tr:not([aria-current]) .pair', 560);
          assert.ok(seen.line.top >= -1 && seen.line.bottom < 60, JSON.stringify(seen.line));
          assert.equal(seen.covered, false);
        }),
      );

      await t.test('where there is room the place stands in the line too', () =>
        open(
          async (page) => {
            await answered(page);
            const seen = await press(page, '.field tr:not([aria-current]) .pair', 120);
            assert.equal(seen.brief.length, 3);
          },
          { width: 1000, height: 700 },
        ),
      );

      await t.test('nothing stands there while the headline is in view', () =>
        open(
          async (page) => {
            await answered(page);
            const seen = await press(page, '.others .pair', 300);
            assert.deepEqual([seen.brief, seen.line], [[], undefined]);
          },
          { width: 1280, height: 2400 },
        ),
      );

      await t.test('a row that was pressed stays under the finger', async () => {
        // Answers of more and of fewer lines, so that what stands above changes its height.
        for (const selector of [
          '.field tr:not([aria-current]) .pair',
          '.packs li:not([aria-current]) .pair',
        ]) {
          await open(
            async (page) => {
              await answered(page);
              let moved = 0;
              for (const round of [0, 1, 2]) {
                const { pair, top, soon, later, scrolled } = await press(page, selector, 200 + 40 * round);
                assert.ok(Math.abs(soon - top) <= 1.5, `${pair} moved from ${top} to ${soon} px`);
                assert.ok(Math.abs(later - top) <= 1.5, `${pair} moved from ${top} to ${later} px at last`);
                moved += Math.abs(scrolled);
              }
              assert.ok(moved > 2, 'something above changed its height');
            },
            PHONE,
            `${PAIR}&condition=1.5`,
          );
        }
      });

      await t.test('back leads to the question before, and so does the title', () =>
        open(async (page) => {
          await answered(page);
          const title = () => page.evaluate(() => [document.title, globalThis.heard.answer.tool]);
          const [first, tool] = await title();
          assert.match(first, /^650 N·m, Sorrel 18 medium with two-row 8\.0: /);
          const steps = await page.evaluate(() => history.length);
          const { pair } = await press(page, '.field tr:not([aria-current]) .pair', 200);
          const [second, next] = await title();
          assert.notEqual(second, first);
          assert.equal(next, pair.split('/')[0]);
          assert.equal(await page.evaluate(() => history.length), steps + 1);
          await page.evaluate(() => history.back());
          assert.ok(await eventually(page, (first) => document.title === first, first));
          assert.equal((await title())[1], tool);
          assert.equal(
            await page.evaluate(
              () => document.querySelector('job-torque').shadowRoot.querySelector('[name="tool"]').value,
            ),
            'sorrel-18-medium',
          );
        }),
      );

      await t.test('changes of one control in a row are one step', () =>
        open(async (page) => {
          await answered(page);
          const steps = await page.evaluate(() => history.length);
          await page.evaluate(() => {
            const root = document.querySelector('job-torque').shadowRoot;
            const order = root.querySelector('[name="order"]');
            for (const { value } of order.options) {
              order.value = value;
              order.dispatchEvent(new Event('change', { bubbles: true }));
            }
          });
          assert.equal(await page.evaluate(() => history.length), steps + 1);
          assert.match(await page.evaluate(() => location.hash), /order=quickest/);
        }),
      );

      await t.test('an article keeps its title and its history', () =>
        withSite(
          {
            'around.html': article(
              '<job-torque src="results.json" start="at-once" tool="sorrel-18-medium" pack="two-row-8-0" job="650 N·m"></job-torque>',
            ),
          },
          (address) =>
            withPage(
              running,
              `${address}around.html`,
              async (page) => {
                await answered(page);
                const steps = await page.evaluate(() => history.length);
                await press(page, '.field tr:not([aria-current]) .pair', 200);
                const after = await page.evaluate(() => [document.title, history.length, location.hash]);
                assert.deepEqual(after, ['Invented', steps, '']);
              },
              { viewport: PHONE, before: listen },
            ),
        ),
      );
    }),
  );
}
