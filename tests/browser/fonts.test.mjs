// Layout with narrow, usual and wide letters: punctuation stays with its control, and nothing runs over the edge.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answered, ask, browsers, eventually, pageAddress, site, withBrowser, withPage } from './harness.mjs';
import { fontSets } from './fonts.mjs';

const WIDTHS = [320, 360, 390, 412, 600, 768, 1280];
const PAIR = { tool: 'sorrel-18-medium', pack: 'two-row-8-0' };

/** Every control of the sentence that a text touches: the text's first sign, and whether the two share a line. */
const touched = (page) =>
  page.evaluate(() => {
    const form = document.querySelector('job-torque').shadowRoot.querySelector('.ask');
    const found = [];
    for (const line of form.querySelectorAll('.sentence:not([hidden])')) {
      const walker = document.createTreeWalker(line, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
      let control = null;
      for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        if (node instanceof Element) {
          if (node.matches('select, input') && node.checkVisibility()) control = node;
        } else if (
          node.data &&
          control &&
          node.parentElement.checkVisibility() &&
          !node.parentElement.closest('.popup, option')
        ) {
          if (!/^\s/.test(node.data) || node.data.startsWith('\u00a0')) {
            const range = document.createRange();
            range.setStart(node, 0);
            range.setEnd(node, 1);
            const [sign, box] = [range.getBoundingClientRect(), control.getBoundingClientRect()];
            const together = sign.top < box.bottom && sign.bottom > box.top && sign.left >= box.right - 1;
            found.push([control.name, node.data[0], together]);
          }
          control = null;
        }
      }
    }
    return found;
  });

/** The elements that reach beyond the right edge of the window. */
const runsOver = (page) =>
  page.evaluate(() => {
    const { shadowRoot } = document.querySelector('job-torque');
    return [...shadowRoot.querySelectorAll('*')]
      .filter((element) => element.checkVisibility() && !element.closest('option, .popup, .unseen'))
      .filter((element) => element.getBoundingClientRect().right > innerWidth + 0.5)
      .map((element) => `${element.localName}.${element.className} ${element.getAttribute('name') ?? ''}`);
  });

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      for (const fonts of fontSets) {
        await t.test(`with ${fonts} letters punctuation stays with its control, and nothing runs over`, () =>
          withPage(
            running,
            pageAddress(site),
            async (page) => {
              await answered(page);
              const font = await page.evaluate(() => {
                const sheet = document.querySelector('job-torque').shadowRoot.querySelector('.sentence');
                return getComputedStyle(sheet).fontFamily;
              });
              assert.match(font, /^"?test /, 'the stated font is used');
              await page.evaluate(() =>
                document.querySelector('job-torque').shadowRoot.querySelector('.ask .quiet').click(),
              );
              const seen = new Set();
              for (const question of [
                { job: 'heavy-truck-wheel-loosen' },
                { ...PAIR, condition: '1.5', loss: null },
                { loss: '10' },
                { job: '650 N·m' },
                { condition: null, loss: null, direction: 'tighten' },
                { job: 'M20 10.9' },
                { job: 'heavy-truck-wheel-tighten', direction: null },
                { direction: 'loosen', job: '12345678.5 N·mm' },
              ]) {
                await ask(page, question);
                for (const width of WIDTHS) {
                  await page.setViewport({ width, height: 900 });
                  // The chart takes its width from an observer, after the frame in which the window changed.
                  await eventually(
                    page,
                    (width) => innerWidth === width && document.documentElement.scrollWidth <= width,
                    width,
                  ).catch(() => undefined);
                  const said = `${width} px, ${JSON.stringify(question)}`;
                  for (const [name, sign, together] of await touched(page)) {
                    seen.add(`${name} ${sign}`);
                    assert.ok(together, `${name} and ${sign} part: ${said}`);
                  }
                  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
                  assert.ok(wide <= width, `the page is ${wide} px wide: ${said}; ${await runsOver(page)}`);
                }
              }
              assert.deepEqual([...seen].sort(), [
                'aged .',
                'aged ×',
                'condition .',
                'job ,',
                'job .',
                'setup .',
                'units ,',
                'units .',
                'within \u00a0',
              ]);
            },
            { fonts },
          ),
        );
      }
    }),
  );
}
