// The finished answer in an article: it looks as the live element does, and says the same.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import { brotliCompressSync } from 'node:zlib';
import {
  answered,
  article,
  browsers,
  eventually,
  inside,
  onTheCommandLine,
  site,
  wake,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';

const post = await readFile(path.join(site, 'post.html'), 'utf8');

/** Where everything of the compact form stands and what it says, but for the drawing. */
const form = (page) =>
  page.evaluate(async () => {
    await new Promise((resolve) => setTimeout(resolve, 300));
    const root = document.querySelector('job-torque').shadowRoot;
    const inDrawing = '.plot *, .key *, .popup, .popup *';
    const drawn = [...root.querySelectorAll('.sheet, .sheet *')].filter(
      (element) => element.getClientRects().length > 0 && !element.matches(inDrawing),
    );
    return drawn
      .filter(
        (element) =>
          !['FORM', 'STYLE'].includes(element.tagName) && element.getBoundingClientRect().height > 2,
      )
      .map((element) => {
        const { x, y, width, height } = element.getBoundingClientRect();
        const { color, fontSize, fontFamily, fontWeight } = getComputedStyle(element);
        const said = element.value ?? (element.children.length === 0 ? element.textContent : '');
        const name = element.className.split(' ')[0];
        return {
          box: [x, y, width, height],
          set: [name, said, color, fontSize, fontFamily, fontWeight].join(' '),
        };
      })
      .filter(({ set }) => !set.startsWith('ask '));
  });

/** Asserts that the live form is the one that slept: alike in every word and colour, and within a pixel in place. */
function assertAlike(asleep, live, said) {
  assert.ok(asleep.length >= 15, `${asleep.length} elements`);
  assert.deepEqual(
    live.map(({ set }) => set),
    asleep.map(({ set }) => set),
    said,
  );
  for (const [i, { box, set }] of live.entries()) {
    for (const [k, length] of box.entries()) {
      assert.ok(Math.abs(length - asleep[i].box[k]) <= 1, `${said}: ${set} ${box} ${asleep[i].box}`);
    }
  }
}

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

      await t.test('a policy that forbids styles leaves it its look', () => {
        const policy =
          "default-src 'none'; img-src data:; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";
        return look(
          'post.html',
          {},
          async (page, asked) => {
            const shown = await eventually(page, () => {
              const root = document.querySelector('job-torque').shadowRoot;
              if (root.adoptedStyleSheets.length === 0) return null;
              const { fontWeight, fontSize } = getComputedStyle(root.querySelector('.headline'));
              return [
                fontWeight,
                parseFloat(fontSize) > 22,
                getComputedStyle(root.querySelector('.drawn')).position,
              ];
            });
            assert.deepEqual(shown, ['700', true, 'absolute']);
            assert.deepEqual(asked.sort(), ['embed.js', 'post.html']);
          },
          { headers: { 'content-security-policy': policy } },
        );
      });

      await t.test('the rules of the page around do not reach it', async () => {
        const hostile = `<style>html { font-size: 62.5%; } body { font: italic 9px/1 cursive; text-transform: uppercase; }
          .sheet, .headline, .plot { display: none !important; } p, span, select { color: red !important; width: 9px; }
          * { box-sizing: border-box !important; letter-spacing: 3px !important; } job-torque { width: 600px; }</style>`;
        const calm = '<style>job-torque { width: 600px; }</style>';
        const element = post.match(/<job-torque src[^]*<\/job-torque>/)[0];
        const [head] = post.match(/@property[^\n]*/);
        const seen = async (style) => {
          let found = null;
          const html = article(element, `<style>${head}</style>${style}`);
          await look('host.html', { 'host.html': html }, async (page) => {
            const [x, y] = await page.evaluate(() => {
              const { x, y } = document.querySelector('job-torque').getBoundingClientRect();
              return [x, y];
            });
            found = (await form(page)).map(({ box: [left, top, ...size], set }) => [
              set,
              left - x,
              top - y,
              ...size,
            ]);
          });
          return found;
        };
        const wanted = await seen(calm);
        assert.ok(wanted.length > 20);
        assert.deepEqual(await seen(hostile), wanted);
      });

      for (const width of [360, 1000]) {
        await t.test(`at ${width} px the live form stands where the finished one stood`, () =>
          look(
            'post.html',
            {},
            async (page) => {
              const asleep = await form(page);
              await wake(page);
              await answered(page);
              assertAlike(asleep, await form(page), `${width} px`);
            },
            { viewport: { width, height: 1400 } },
          ),
        );
      }

      await t.test('a dark page has a dark chart, before as after', async () => {
        const dark = post.replace('<html', '<html style="color-scheme: dark"');
        await look('dark.html', { 'dark.html': dark }, async (page) => {
          const colours = () =>
            page.evaluate(() => {
              const root = document.querySelector('job-torque').shadowRoot;
              const of = (selector, name) => getComputedStyle(root.querySelector(selector))[name];
              return [of('.sheet', 'backgroundColor'), of('.headline', 'color'), of('.chart .full', 'color')];
            });
          const asleep = await colours();
          assert.deepEqual(asleep, ['rgb(23, 24, 27)', 'rgb(235, 232, 224)', 'rgb(98, 184, 238)']);
          const filled = await page.evaluate(() => {
            const root = document.querySelector('job-torque').shadowRoot;
            return root.querySelectorAll('.drawn rect, .drawn [fill^="#"], .drawn [fill="white"]').length;
          });
          assert.equal(filled, 0, 'no ground of its own');
          await wake(page);
          await answered(page);
          assert.deepEqual(await colours(), asleep);
        });
      });
    }),
  );
}

/** Questions of every kind, as the command line asks them. */
const QUESTIONS = [
  ['--job', 'heavy-truck-wheel-tighten'],
  ['--tool', 'sorrel-18-medium', '--pack', 'two-row-5-0', '--job', '650 N·m', '--condition', '1.5'],
  ['--tool', 'vetch-18-small', '--job', 'M20 10.9', '--units', 'lbf-ft'],
  ['--pack', 'slim-4-0', '--job', '150 N·m', '--tighten', '--within', '2', '--loss', '10'],
  ['--tool', 'vetch-18-small', '--pack', 'slim-4-0', '--job', '650 N·m', '--edition', '2'],
  ['--tool', 'vetch-18-small', '--pack', 'ten-cell-4-0', '--job', '650 N·m'],
];

const [chromium] = browsers;

for (const width of [360, 1000]) {
  test(
    `at ${width} px what \`ask --html\` prints goes live without moving anything`,
    { timeout: 300_000 },
    () =>
      withBrowser(chromium, async (running) => {
        for (const question of QUESTIONS) {
          const printed = await onTheCommandLine('ask', ...question, '--html');
          const [, head, element] = printed.match(
            /^(<style>[^]*?<\/style>)\n<script[^]*?<\/script>\n([^]*)$/,
          );
          const html = article(
            `<p>Prose.</p>${element}<p>More.</p>`,
            `${head}<style>body { margin: 16px; }</style>`,
          );
          await withSite({ 'article.html': html }, (address) =>
            withPage(
              running,
              `${address}article.html`,
              async (page) => {
                const said = question.join(' ');
                // The fonts of the test may come after the first paint; a page's own are not measured here.
                await page.evaluate(() => document.fonts.ready.then(() => undefined));
                const asleep = await form(page);
                await page.evaluate(() => (globalThis.shifted.length = 0));
                await wake(page);
                const answer = await answered(page);
                const live = await form(page);
                assertAlike(asleep, live, said);
                const headline = live.findIndex(({ set }) => set.startsWith('headline '));
                assert.ok(headline > 0);
                assert.equal((await inside(page, '.headline')).text, answer.headline);
                assert.ok(
                  html.includes(`<h2 class="headline">${answer.headline}</h2>`),
                  'the plain text says the same',
                );
                assert.deepEqual(await page.evaluate(() => globalThis.shifted), [], said);
              },
              {
                viewport: { width, height: 1400 },
                before: (page) =>
                  page.evaluateOnNewDocument(() => {
                    globalThis.shifted = [];
                    new PerformanceObserver((list) => {
                      for (const { value, startTime, sources } of list.getEntries()) {
                        const moved = sources.map(({ node, previousRect, currentRect }) =>
                          [
                            node?.outerHTML ?? node?.data,
                            ...[previousRect, currentRect].map(JSON.stringify),
                          ].join(' '),
                        );
                        globalThis.shifted.push(value, startTime, ...moved);
                      }
                    }).observe({ type: 'layout-shift', buffered: true });
                  }),
              },
            ),
          );
        }
      }),
  );
}

test('loader and finished chart stay within their budgets in brotli', async () => {
  const size = (text) => brotliCompressSync(text).length;
  const loader = size(await readFile(path.join(site, 'embed.js')));
  const [baked] = post.match(/<template shadowrootmode[^]*<\/template>/);
  const [chart] = baked.match(/<svg class="drawn"[^]*<\/svg>/);
  console.log(
    `loader ${loader} bytes, chart ${size(chart)} bytes, finished answer with its style ${size(baked)} bytes`,
  );
  assert.ok(loader <= 2048, `${loader} bytes`);
  assert.ok(size(chart) <= 6 * 1024, `${size(chart)} bytes`);
});
