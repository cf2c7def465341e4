// Hands and eyes: what is pressed is large enough, text keeps its own direction and its own ground, tables use their width.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  eventually,
  pageAddress,
  pageAround,
  site,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const PAIR = '#tool=sorrel-18-medium&pack=two-row-8-0&job=650%20N%C2%B7m';
const ELEMENT =
  '<job-torque src="results.json" tool="sorrel-18-medium" pack="two-row-8-0" job="650 N·m"></job-torque>';

/** Waits for the lists, which come after the answer. */
const complete = async (page) => {
  await answered(page);
  await eventually(page, () =>
    Boolean(document.querySelector('job-torque').shadowRoot.querySelector('.field tbody tr')),
  );
};

/** The controls that are lower than so many pixels. A box to tick is as high as its label. */
const low = (page, least) =>
  page.evaluate((least) => {
    const root = document.querySelector('job-torque').shadowRoot;
    for (const details of root.querySelectorAll('details')) details.open = true;
    const controls = 'button:not(.warnings *), select, input:not([type="checkbox"]), .switch, summary';
    const all = [...root.querySelectorAll(controls), ...document.querySelectorAll('.how a')];
    const shown = all.filter((control) => control.checkVisibility());
    if (shown.length < 60) throw new Error(`${shown.length} controls`);
    return shown
      .filter((control) => control.getBoundingClientRect().height < least - 0.01)
      .map((control) => `${control.localName}.${control.className} ${control.getAttribute('name') ?? ''}`);
  }, least);

/** The columns of the table that are shown, and how far the page runs over. */
const columns = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const cells = [...root.querySelectorAll('.field thead th')].filter((cell) => cell.checkVisibility());
    const table = root.querySelector('.field table').getBoundingClientRect();
    const field = root.querySelector('.field').getBoundingClientRect();
    return {
      keys: cells.map((cell) => cell.dataset.key),
      over: Math.max(document.documentElement.scrollWidth - innerWidth, table.right - field.right),
    };
  });

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const open = (use, viewport, fragment = PAIR) =>
        withPage(running, `${pageAddress(site)}${fragment}`, use, { viewport });
      const around = (inside, head, use, viewport = {}) =>
        withSite({ 'around.html': pageAround(inside, head) }, (address) =>
          withPage(running, `${address}around.html`, use, { viewport }),
        );

      await t.test('for a mouse every control is at least 24 px high', () =>
        open(async (page) => {
          await complete(page);
          assert.deepEqual(await low(page, 24), []);
        }, {}),
      );

      await t.test(
        'for a finger every control is at least 44 px high',
        { skip: browser.name !== 'Chromium' },
        () =>
          open(
            async (page) => {
              await complete(page);
              assert.ok(await page.evaluate(() => matchMedia('(pointer: coarse)').matches));
              const answer = await page.evaluate(() => {
                const root = document.querySelector('job-torque').shadowRoot;
                return root.querySelector('.answer').getBoundingClientRect().bottom;
              });
              assert.ok(answer <= 480, `the answer ends at ${answer} px`);
              assert.deepEqual(await low(page, 44), []);
            },
            { width: 360, height: 640, hasTouch: true, isMobile: true },
          ),
      );

      await t.test('as many columns stand as there is room for, and nothing runs over', () =>
        open(async (page) => {
          await complete(page);
          // A bar to scroll by takes some of the width.
          const bar = await page.evaluate(() => innerWidth - document.documentElement.clientWidth);
          for (const [width, wanted] of [
            [320, 'place pair time nineteen'],
            [360, 'place pair time nineteen mass'],
            [600, 'place pair time nineteen mass'],
            [700, 'place pair chance time nineteen mass'],
            [760, 'place pair chance time nineteen peak mass'],
            [820, 'place pair chance time nineteen peak mass price'],
            [880, 'place pair chance time nineteen peak mass length price'],
            [940, 'place pair chance time nineteen peak mass length price tested'],
            [1100, 'place pair chance time power nineteen peak mass length price tested'],
          ]) {
            await page.setViewport({ width: width + bar, height: 700 });
            // The chart is drawn anew a little later.
            await eventually(page, () => document.documentElement.scrollWidth <= innerWidth);
            const { keys, over } = await columns(page);
            assert.equal(keys.join(' '), wanted, `${width} px`);
            assert.ok(over <= 0.5, `${over} px too wide at ${width} px`);
          }
        }, {}),
      );

      await t.test('what is chosen at the head goes before the rest, and so does the stated figure', () =>
        open(
          async (page) => {
            await complete(page);
            const choose = (name, value) =>
              page.evaluate(
                ([name, value]) => {
                  const root = document.querySelector('job-torque').shadowRoot;
                  const control = root.querySelector(`.field [name="${name}"]`);
                  if (control.type === 'checkbox') control.checked = value;
                  else control.value = value;
                  control.dispatchEvent(new Event('change', { bubbles: true }));
                  return control.value;
                },
                [name, value],
              );
            await choose('column', 'price');
            assert.deepEqual((await columns(page)).keys.slice(2), ['time', 'nineteen', 'price']);
            await choose('column', 'length');
            assert.deepEqual((await columns(page)).keys.slice(2), ['time', 'length', 'price']);
            await choose('stated', true);
            await eventually(page, () =>
              Boolean(
                document.querySelector('job-torque').shadowRoot.querySelector('.field th[data-key="stated"]'),
              ),
            );
            const { keys, over } = await columns(page);
            assert.deepEqual(keys.slice(2), ['stated', 'length', 'price']);
            assert.ok(over <= 0.5);
          },
          { width: 384, height: 640 },
        ),
      );

      await t.test('what a buyer asks of tool and pack stands in the row that opens', () =>
        open(async (page) => {
          await complete(page);
          const text = await page.evaluate(() => {
            const root = document.querySelector('job-torque').shadowRoot;
            root.querySelector('.field [aria-current] .more').click();
            return root.querySelector('.field .below').textContent.replaceAll('\u00a0', ' ');
          });
          for (const said of [
            /Drive: 12\.5 mm, square\./,
            /to the side: \d+ mm\./,
            /Other names of the tool: /,
          ]) {
            assert.match(text, said);
          }
          assert.match(text, /Pack: 18 V nominal, 5 cells in series\./);
        }, {}),
      );

      await t.test('text runs in its own direction, whatever that of the page', () =>
        around(`<div dir="rtl">${ELEMENT}</div>`, '', async (page) => {
          await complete(page);
          const direction = (lang) =>
            page.evaluate((lang) => {
              const sheet = document.querySelector('job-torque').shadowRoot.querySelector('.sheet');
              if (lang) sheet.lang = lang;
              return getComputedStyle(sheet).direction;
            }, lang);
          assert.equal(await direction(null), 'ltr');
          assert.equal(await direction('ar'), 'rtl');
          assert.equal(await direction('he-IL'), 'rtl');
          assert.equal(await direction('de'), 'ltr');
        }),
      );

      await t.test('on a dark page that says no colour scheme the words stand on a ground of their own', () =>
        around(ELEMENT, '<style>html { background: #101010; color: #efefef; }</style>', async (page) => {
          await complete(page);
          const contrasts = await page.evaluate(() => {
            const root = document.querySelector('job-torque').shadowRoot;
            const light = (colour) => {
              const [r, g, b] = colour.match(/[\d.]+/g).map((part) => {
                const share = part / 255;
                return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
              });
              return 0.2126 * r + 0.7152 * g + 0.0722 * b;
            };
            const ground = getComputedStyle(root.querySelector('.sheet')).backgroundColor;
            return ['.headline', '.lines', '.sentence', '.field td', 'summary', 'select'].map((name) => {
              const ink = getComputedStyle(root.querySelector(name)).color;
              const [low, high] = [light(ink), light(ground)].sort((a, b) => a - b);
              return [name, ground, (high + 0.05) / (low + 0.05)];
            });
          });
          for (const [name, ground, contrast] of contrasts) {
            assert.doesNotMatch(ground, /rgba|transparent/);
            assert.ok(contrast >= 4.5, `${name} ${contrast}`);
          }
        }),
      );

      await t.test('two pairs side by side fit in 320 px', () =>
        open(
          async (page) => {
            await complete(page);
            await ask(page, { beside: 'teasel-18-large/two-row-8-0 mullein-36-large/twenty-cell-8-0' });
            const [over, tables] = await page.evaluate(() => {
              const root = document.querySelector('job-torque').shadowRoot;
              const tables = root.querySelectorAll('.beside table');
              const right = Math.max(...[...tables].map((table) => table.getBoundingClientRect().right));
              return [Math.max(document.documentElement.scrollWidth, right) - innerWidth, tables.length];
            });
            assert.ok(tables > 0 && over <= 0, `${tables} tables, ${over} px too wide`);
          },
          { width: 320, height: 640 },
        ),
      );
    }),
  );
}
