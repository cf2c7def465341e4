// Packs on the chosen tool, and pairs side by side.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answered,
  browsers,
  eventually,
  pageAddress,
  onTheCommandLine,
  site,
  withBrowser,
  withPage,
} from './harness.mjs';

const TOOL = 'sorrel-18-medium';
const PACK = 'two-row-8-0';
const OTHER = 'slim-4-0';
const NAME = 'slim 4.0';
const JOB = '650 N·m';
const chosen = `${pageAddress(site)}#tool=${TOOL}&pack=${PACK}&job=${encodeURIComponent(JOB)}`;

const wordsOf = async (...given) => JSON.parse(await onTheCommandLine(...given, '--json')).words;

/** Every text of a section, by what holds it. */
const textsOf = (page, section, holder) =>
  page.evaluate(
    (within, held) => {
      const root = document.querySelector('job-torque').shadowRoot;
      // What stays in one line is joined by another space.
      return [...root.querySelectorAll(`.${within} ${held}`)].map((element) =>
        element.textContent.trim().replaceAll('\u00a0', ' '),
      );
    },
    section,
    holder,
  );

const shown = (page, section) =>
  page.evaluate((within) => {
    const element = document.querySelector('job-torque').shadowRoot.querySelector(`.${within}`);
    return element.checkVisibility();
  }, section);

for (const browser of browsers) {
  test(`in ${browser.name}`, (t) =>
    withBrowser(browser, async (running) => {
      await t.test('the packs on a tool are those of the command line', () =>
        withPage(running, chosen, async (page) => {
          await answered(page);
          const words = await wordsOf('packs', '--tool', TOOL, '--pack', PACK);
          assert.deepEqual(await textsOf(page, 'packs', 'p'), [words.headline, ...words.lines]);
          assert.deepEqual(
            await textsOf(page, 'packs', 'li > .pair'),
            words.rows.map(({ cells }) => cells[0]),
          );
          assert.deepEqual(
            await textsOf(page, 'packs', 'li > span'),
            words.rows.map(({ cells }) => cells[1]),
          );
          assert.deepEqual(await textsOf(page, 'packs', '[aria-current] > .pair'), ['two-row 8.0']);
          assert.equal(await shown(page, 'beside'), false);
        }),
      );

      await t.test('a pack laid over stands side by side, and keeps the focus', () =>
        withPage(running, chosen, async (page) => {
          await answered(page);
          const focus = (kind) =>
            page.evaluate(
              (wanted, name) => {
                const root = document.querySelector('job-torque').shadowRoot;
                const packs = [...root.querySelectorAll('.packs li')];
                const item = packs.find((pack) => pack.querySelector('.pair').textContent === name);
                item.querySelector(`.${wanted}`).focus();
              },
              kind,
              NAME,
            );
          const focused = () =>
            page.evaluate(() => {
              const active = document.querySelector('job-torque').shadowRoot.activeElement;
              return [active?.className, active?.closest('li')?.querySelector('.pair').textContent];
            });
          await focus('lay');
          await page.keyboard.press('Enter');
          await eventually(page, () => location.hash.includes('beside='));
          assert.deepEqual(await focused(), ['lay', NAME]);
          const pair = ['--tool', TOOL, '--pack', PACK, '--with-tool', TOOL, '--with-pack', OTHER];
          const words = await wordsOf('compare', ...pair, '--job', JOB);
          assert.deepEqual(await textsOf(page, 'beside', 'p'), [words.headline, ...words.lines]);
          const cells = await textsOf(page, 'beside', 'tbody :is(th, td)');
          const wanted = words.rows.flatMap(({ cells: [what, first, second, difference, ends] }) => [
            what,
            first,
            second,
            `${difference} ${ends}`.trim(),
          ]);
          assert.deepEqual(cells, wanted);
          await page.keyboard.press('Enter');
          await eventually(page, () => !location.hash.includes('beside='));
          assert.equal(await shown(page, 'beside'), false);
          await focus('pair');
          await page.keyboard.press('Enter');
          await eventually(page, (pack) => globalThis.heard.answer.pack === pack, OTHER);
          assert.deepEqual(await focused(), ['pair', NAME]);
        }),
      );

      for (const width of [320, 360, 768]) {
        await t.test(`nothing runs over at ${width} px`, () =>
          withPage(
            running,
            `${chosen}&beside=${TOOL}/${OTHER}+teasel-18-large/${PACK}`,
            async (page) => {
              await answered(page);
              assert.equal(await shown(page, 'beside'), true);
              const over = await page.evaluate(() => {
                const sheet = document.querySelector('job-torque').shadowRoot.querySelector('.sheet');
                const { right } = sheet.getBoundingClientRect();
                const all = [...sheet.querySelectorAll(':is(.beside, .packs) *')];
                return all.filter((element) => element.getBoundingClientRect().right > right + 0.5).length;
              });
              assert.equal(over, 0);
            },
            { viewport: { width, height: 640 } },
          ),
        );
      }
    }));
}
