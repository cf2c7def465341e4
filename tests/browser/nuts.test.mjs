// Nuts that were tried: picked in the sentence, carried by the address, refused where there are too few.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answered, browsers, eventually, pageAddress, site, withBrowser, withPage } from './harness.mjs';

const PAIR = { tool: 'sorrel-18-medium', pack: 'two-row-8-0', job: '400 N·m' };
const LINK = new URLSearchParams(PAIR);

/** What the sentence offers and shows, and what is answered. */
const shown = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const picked = root.querySelector('[name="aged"]');
    const factor = root.querySelector('[name="condition"]');
    return {
      offered: [...picked.options].map(({ value, text }) => `${value}: ${text}`),
      picked: picked.value,
      factor: factor.checkVisibility(),
      invalid: [...root.querySelectorAll('.ask [aria-invalid]')].map(({ name }) => name),
      headline: root.querySelector('.headline').textContent.replaceAll('\u00a0', ' '),
      fault: root.querySelector('.ask .fault:not([hidden])')?.textContent ?? '',
      address: new URLSearchParams(location.hash.slice(1)).get('condition'),
      wide: document.documentElement.scrollWidth - innerWidth,
    };
  });

/** Picks something in the sentence. */
const pick = (page, name, value) =>
  page.evaluate(
    (name, value) => {
      const picker = document.querySelector('job-torque').shadowRoot.querySelector(`[name="${name}"]`);
      picker.value = value;
      picker.dispatchEvent(new Event('change'));
    },
    name,
    value,
  );

const LIKE_THOSE = 'Made-up data: a nut like those tried, tightened to 400 N·m, is within reach.';

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 120_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const open = (fragment, use) =>
        withPage(running, `${pageAddress(site)}#${fragment}`, use, { viewport: { width: 360, height: 800 } });

      await t.test('nuts like those tried are picked where there are enough', () =>
        open(LINK, async (page) => {
          await answered(page);
          const before = await shown(page);
          const nuts = 'checked: as 18 aged nuts here';
          assert.deepEqual(before.offered, [': fresh', '1.5: aged', nuts]);
          assert.deepEqual([before.picked, before.address], ['', null]);
          const heard = await page.evaluate(() => globalThis.heard.answer.lines.join(' '));
          assert.match(heard, /bench tries to get there within 5 s/);
          await pick(page, 'aged', 'checked');
          await eventually(page, () => location.hash.includes('condition=checked'));
          const after = await shown(page);
          assert.equal(after.headline, LIKE_THOSE);
          assert.deepEqual([after.picked, after.address, after.factor], ['checked', 'checked', false]);
          assert.ok(after.wide <= 0, `${after.wide} px too wide`);
          await pick(page, 'direction', 'tighten');
          await eventually(page, () => location.hash.includes('direction=tighten'));
          assert.ok(!(await page.evaluate(() => location.hash.includes('condition'))));
          const { condition_from, nuts_tried } = await page.evaluate(() => globalThis.heard.answer);
          assert.deepEqual([condition_from, nuts_tried], [null, []]);
        }),
      );

      await t.test('a link carries them', () =>
        open(`${LINK}&condition=checked`, async (page) => {
          await answered(page);
          const { headline, picked, fault } = await shown(page);
          assert.deepEqual([headline, picked, fault], [LIKE_THOSE, 'checked', '']);
        }),
      );

      await t.test('too few are refused, by how many there are', () =>
        open(`${LINK}&condition=checked-fresh`, async (page) => {
          await answered(page);
          const few = await shown(page);
          assert.equal(
            few.fault,
            'Too few fresh nuts were tried here: nuts 6, groups 2, came loose 6. It takes 10, 3 and 4.',
          );
          assert.deepEqual([few.picked, few.invalid], ['', ['aged']]);
          assert.equal(few.headline, 'Made-up data: 400 N·m is within reach.');
        }),
      );
    }),
  );
}
