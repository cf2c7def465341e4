// Real nuts beside the verdict: on the page, in a compact embed, on paper, and before any script runs.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  eventually,
  pageAround,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const PAIR = { tool: 'sorrel-18-medium', pack: 'two-row-8-0', job: 'heavy-truck-wheel-loosen' };

/** Checks that can be seen, and whether they stand between the headline and the lines below it. */
const shown = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const top = (selector) => root.querySelector(selector).getBoundingClientRect().top;
    const visible = [...root.querySelectorAll('.check')].filter((element) => element.checkVisibility());
    return {
      texts: visible.map((element) => element.textContent.replaceAll('\u00a0', ' ')),
      under: visible.every((element) => {
        const { top: own, height } = element.getBoundingClientRect();
        return height > 0 && own > top('.headline') && own < top('.lines');
      }),
    };
  });

/** @param {{ checks: string[] }} detail */
const holds = async (page, detail) => {
  // The parts of the page take their width from observers, after the frame in which the window changed.
  await eventually(page, () => document.documentElement.scrollWidth <= innerWidth);
  const { texts, under } = await shown(page);
  assert.equal(detail.checks.length, 1);
  assert.equal(detail.checks[0], 'This pair failed on a nut at 640 N·m (two winters old, dry).');
  assert.deepEqual(texts, detail.checks);
  assert.ok(under, 'between the headline and the lines');
};

const WIDTHS = [320, 360, 1200];

for (const browser of browsers) {
  test(`a nut that held stands under the verdict, ${browser.name}`, { timeout: 120_000 }, () =>
    withSite(
      { 'embed.html': pageAround('<job-torque src="results.json" compact></job-torque>') },
      (address) =>
        withBrowser(browser, async (running) => {
          for (const file of ['index.html', 'embed.html']) {
            await withPage(running, `${address}${file}`, async (page) => {
              await answered(page);
              const { detail } = await ask(page, PAIR);
              for (const width of WIDTHS) {
                await page.setViewport({ width, height: 640 });
                await holds(page, detail);
              }
              const other = await ask(page, { ...PAIR, job: '600 lbf·ft' });
              assert.deepEqual((await shown(page)).texts, other.detail.checks);
              const none = await ask(page, { ...PAIR, job: '300 N·m' });
              assert.deepEqual([(await shown(page)).texts, none.detail.checks], [[], []]);
            });
          }
        }),
    ),
  );
}
