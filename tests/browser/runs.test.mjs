// The runs behind a pair, the choice of an edition, and how it was measured: on the page and embedded.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  eventually,
  holdAgainstAxe,
  pageAddress,
  pageAround,
  site,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const PAIR = { tool: 'sorrel-18-medium', pack: 'slim-4-0', job: '650 N·m' };

/** A page of someone else's, with one element about a pair that a correction touched. */
const EMBEDDED = pageAround(
  '<job-torque src="results.json" tool="sorrel-18-medium" pack="pouch-5-0" job="650 N·m"></job-torque>',
);

/** Opens "The runs behind it" as a visitor does, and waits until it is filled. */
const opened = async (page) => {
  await page.evaluate(() =>
    document.querySelector('job-torque').shadowRoot.querySelector('.runs > summary').click(),
  );
  return eventually(page, () => {
    const behind = document.querySelector('job-torque').shadowRoot.querySelector('.behind');
    return behind.querySelector('table') && behind.innerText;
  });
};

/** What a part of the shadow tree is, if it is there. */
const inside = (page, selector, property) =>
  page.evaluate(
    (selector, property) =>
      document.querySelector('job-torque').shadowRoot.querySelector(selector)?.[property],
    selector,
    property,
  );

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      await t.test('the runs of the chosen pair are there once it is opened', () =>
        withPage(running, pageAddress(site), async (page) => {
          await answered(page);
          assert.equal(await inside(page, '.runs', 'hidden'), true, 'no pair, no runs');
          await ask(page, PAIR);
          assert.equal(await inside(page, '.runs', 'hidden'), false);
          assert.equal(
            await inside(page, '.behind', 'childElementCount'),
            0,
            'nothing is worked out unasked',
          );
          const said = await opened(page);
          for (const wanted of [
            'tool A, bought new',
            'tool B, bought new',
            'Set aside, and why',
            'socket slipped after half a second',
            'Its place in each edition',
            'What was corrected',
          ]) {
            assert.ok(said.includes(wanted), `${wanted}: ${said}`);
          }
          assert.ok(!said.includes('bench team'), 'no operator is published');
          const figures = await page.evaluate(() => {
            const behind = document.querySelector('job-torque').shadowRoot.querySelector('.behind');
            const canvas = behind.querySelector('canvas');
            return {
              numbers: [...behind.querySelectorAll('th[scope="row"]')].map((cell) => cell.textContent),
              drawn: canvas.width > 0 && canvas.getAttribute('aria-label').includes('650'),
              stated: behind.querySelector('details').open,
            };
          });
          assert.deepEqual(figures, { numbers: ['1', '2', '3', '4', '5', '6'], drawn: true, stated: false });
          // Another pair takes its place; no pair closes it.
          await ask(page, { pack: 'two-row-8-0' });
          assert.ok((await inside(page, '.behind', 'innerText')).includes('Real-nut checks'));
          await ask(page, { tool: null, pack: null });
          assert.equal(await inside(page, '.behind', 'childElementCount'), 0);
        }),
      );

      await t.test('an edition is chosen, says that it is old, and gives way to the newest', () =>
        withPage(running, pageAddress(site), async (page) => {
          await answered(page);
          await ask(page, PAIR);
          const choices = await page.evaluate(() => {
            const select = document.querySelector('job-torque').shadowRoot.querySelector('.edition select');
            return [...select.options].map((option) => option.textContent);
          });
          assert.equal(choices.length, 3);
          const newest = await page.evaluate(() => globalThis.heard.answer.edition);
          await page.evaluate(() => {
            const select = document.querySelector('job-torque').shadowRoot.querySelector('.edition select');
            select.value = '1';
            select.dispatchEvent(new Event('change', { bubbles: true }));
          });
          await eventually(page, () => globalThis.heard.answer.edition === 1);
          const line = await inside(page, '.edition', 'innerText');
          assert.ok(line.includes(`This shows edition 1. Edition ${newest} is out.`), line);
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('.edition button').click(),
          );
          await eventually(page, (newest) => globalThis.heard.answer.edition === newest, newest);
          assert.ok(!(await inside(page, '.edition', 'innerText')).includes('is out.'));
        }),
      );

      await t.test('a pinned edition says so, and the visitor may leave it', () =>
        withPage(running, pageAddress(site), async (page) => {
          await answered(page);
          await ask(page, { ...PAIR, edition: '2' });
          assert.ok((await inside(page, '.edition', 'innerText')).includes('This shows edition 2.'));
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('.edition button').click(),
          );
          await eventually(page, () => globalThis.heard.answer.edition === 3);
        }),
      );

      await t.test('a correction leads to what changed, and the page’s own tree stays as it was', () =>
        withPage(running, pageAddress(site), async (page) => {
          await answered(page);
          // The title names the question.
          const tree = () => document.documentElement.outerHTML.replace(/<title>[^<]*/, '<title>');
          const before = await page.evaluate(tree);
          await page.evaluate(() => {
            location.hash = new URLSearchParams({
              tool: 'sorrel-18-medium',
              pack: 'pouch-5-0',
              job: '650 N·m',
            });
          });
          await eventually(page, () => globalThis.heard.answer.pack === 'pouch-5-0');
          await page.evaluate(() => {
            const root = document.querySelector('job-torque').shadowRoot;
            const buttons = [...root.querySelectorAll('.warnings button')];
            buttons
              .find((button) => button.textContent === 'Corrected in edition 3. See what changed.')
              .click();
          });
          const place = await page.evaluate(() => {
            const focused = document.activeElement;
            const { top } = focused.getBoundingClientRect();
            return {
              id: focused.id,
              seen: top >= 0 && top < innerHeight,
              text: focused.nextElementSibling.innerText,
            };
          });
          assert.equal(place.id, 'edition-3');
          assert.ok(place.seen);
          assert.ok(place.text.includes('Torque of 11 May 2026 is lowered by 2.4 %.'), place.text);
          await opened(page);
          assert.equal(await page.evaluate(tree), before);
        }),
      );

      await t.test('embedded, the element says who paid itself, and a correction opens what changed', () =>
        withSite({ 'index.html': EMBEDDED }, (address) =>
          withPage(running, `${address}index.html`, async (page) => {
            await answered(page);
            const said = await page.evaluate(() => {
              const root = document.querySelector('job-torque').shadowRoot;
              const details = [...root.querySelectorAll('.about')];
              const button = [...root.querySelectorAll('.warnings button')].find((one) =>
                one.textContent.startsWith('Corrected in edition 3.'),
              );
              button.click();
              return {
                text: details.map((one) => one.textContent).join(' '),
                open: details.map((one) => one.open),
                focused: root.activeElement?.id,
              };
            });
            assert.ok(said.text.includes('Nobody paid for these tests.'), said.text);
            assert.ok(said.text.includes('To cite:'));
            assert.deepEqual(said.open, [false, true, false]);
            assert.equal(said.focused, 'edition-3');
          }),
        ),
      );

      await t.test('the page says who paid and how it was measured before any script runs', () =>
        withPage(running, pageAddress(site), async (page) => {
          await answered(page);
          const said = await page.$eval('footer', (footer) => footer.innerText);
          for (const wanted of [
            'Who paid',
            'Nobody paid for these tests.',
            'lent to us used',
            'Calibrated on',
            'To cite:',
          ]) {
            assert.ok(said.includes(wanted), wanted);
          }
        }),
      );

      for (const [width, scheme] of [
        [360, 'light'],
        [768, 'dark'],
        [1280, 'light'],
      ]) {
        await t.test(`opened at ${width} pixels nothing scrolls sideways and axe finds nothing`, () =>
          withPage(
            running,
            pageAddress(site),
            async (page) => {
              await answered(page);
              await ask(page, PAIR);
              await opened(page);
              await page.evaluate(() => {
                const root = document.querySelector('job-torque').shadowRoot;
                for (const details of root.querySelectorAll('.behind details')) details.open = true;
              });
              const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
              assert.ok(wide <= 0, `${wide} pixels too wide`);
              await holdAgainstAxe(page);
            },
            {
              viewport: { width },
              before: (page) =>
                browser.name === 'Chromium' &&
                page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]),
            },
          ),
        );
      }
    }),
  );
}
