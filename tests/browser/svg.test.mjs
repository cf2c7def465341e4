// The pictures that the program writes: the SVG file of `chart` opens in browsers, and the picture that the page's head
// names stands beside it.
import assert from 'node:assert/strict';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { browsers, onTheCommandLine, pageAddress, site, withBrowser, withPage } from './harness.mjs';

const PAIR = ['--tool', 'sorrel-18-medium', '--pack', 'two-row-5-0', '--job', '650 N·m'];
const QUESTIONS = {
  pair: PAIR,
  overlaid: [...PAIR, '--with-tool', 'burdock-18-medium', '--with-pack', 'two-row-8-0'],
  list: ['--job', '150 N·m', '--units', 'lbf-ft'],
  runs: [...PAIR, '--runs'],
};

/** What the document holds, and where: words of the chart, other words, plots. */
const seen = (page) =>
  page.evaluate(() => {
    const box = (element) => {
      const { left, right, top, bottom } = element.getBoundingClientRect();
      return { text: element.textContent, left, right, top, bottom };
    };
    // Of text without the ground that is drawn around its letters.
    const letters = (text) => {
      const { x, y, width, height } = text.getBBox();
      return { text: text.textContent, left: x, right: x + width, top: y, bottom: y + height };
    };
    const all = (selector, of) => [...document.querySelectorAll(selector)].map(of);
    return {
      root: document.documentElement.localName,
      faults: document.querySelectorAll('parsererror').length,
      picture: box(document.documentElement),
      title: document.querySelector('title').textContent,
      chart: all('g[paint-order] text', letters),
      other: all('svg > text', letters),
      // Each plot with its lines, and behind it its words.
      plots: [...document.querySelectorAll('g[transform]')].map((drawing) => ({
        lines: [...drawing.querySelectorAll('polyline:not([stroke-dasharray])')].map(box),
        words: [...drawing.nextElementSibling.querySelectorAll('text')].map(letters),
      })),
    };
  });

const meet = (one, other) =>
  one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;

for (const browser of browsers) {
  test(`pictures in ${browser.name}`, { timeout: 120_000 }, async (t) => {
    const folder = await mkdtemp(path.join(tmpdir(), 'picture-'));
    try {
      await withBrowser(browser, async (running) => {
        for (const [name, question] of Object.entries(QUESTIONS)) {
          await t.test(`an SVG file opens: ${name}`, async () => {
            await onTheCommandLine('chart', ...question, '--svg', path.join(folder, `${name}.svg`));
            await withPage(running, pageAddress(folder, `${name}.svg`), async (page) => {
              const { root, faults, picture, title, chart, other, plots } = await seen(page);
              assert.deepEqual([root, faults], ['svg', 0]);
              assert.ok(title.length > 0);
              assert.equal(other[0].text, 'Invented data. These tools do not exist.');
              assert.match(other.at(-1).text, /Licence: /);
              for (const word of [...chart, ...other]) {
                assert.ok(word.right > word.left, `${word.text} is shown`);
                const inside = word.left >= picture.left && word.right <= picture.right;
                assert.ok(inside && word.bottom <= picture.bottom, `${word.text} is inside`);
              }
              // The axes: numbers stand outside of the plot, all else of the chart inside.
              assert.equal(plots.flatMap(({ words }) => words).length, chart.length);
              for (const { lines, words } of plots) {
                const left = Math.min(...lines.map((line) => line.left));
                const right = Math.max(...lines.map((line) => line.right));
                const bottom = Math.max(...lines.map((line) => line.bottom));
                for (const word of words) {
                  const isBeside = word.right <= left;
                  const isBelow = word.top >= bottom - 2;
                  const isAbove = /^torque, (N·m|lbf·ft)$/.test(word.text);
                  const isInside = word.left >= left && word.right <= right && word.bottom <= bottom;
                  assert.ok(
                    isBeside || isBelow || isAbove || isInside,
                    `${word.text} over an edge of the plot`,
                  );
                }
              }
              const words = [...chart, ...other];
              words.forEach((one, i) => {
                for (const next of words.slice(i + 1)) {
                  // Boxes of lines of a paragraph overlap by what no letter reaches.
                  const lower = { ...next, top: next.top + 3, bottom: next.bottom - 3 };
                  assert.ok(!meet(one, lower), `${one.text} over ${next.text}`);
                }
              });
            });
          });
        }
        await t.test('the head of the page names a picture that stands beside it', async () => {
          const address = pageAddress(site);
          const named = await withPage(running, address, (page) =>
            page.evaluate(() =>
              [...document.querySelectorAll('meta[property^="og:image"]')].map((meta) => [
                meta.getAttribute('property'),
                meta.content,
              ]),
            ),
          );
          const { 'og:image': name, 'og:image:alt': alt, ...size } = Object.fromEntries(named);
          assert.deepEqual(size, { 'og:image:width': '1200', 'og:image:height': '630' });
          const { headline } = JSON.parse(
            await onTheCommandLine('ask', path.join(site, 'results.json'), ...(await defaultJob()), '--json'),
          );
          assert.equal(alt, headline);
          const drawn = await withPage(
            running,
            pageAddress(site, name),
            (page) =>
              page.evaluate(() => {
                const { naturalWidth, naturalHeight } = document.querySelector('img');
                return [naturalWidth, naturalHeight];
              }),
            { messages: true },
          );
          assert.deepEqual(drawn, [1200, 630]);
        });
      });
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  });
}

/** The job of the page's own question: the first of the file. */
async function defaultJob() {
  const { jobs } = JSON.parse(await readFile(path.join(site, 'results.json'), 'utf8'));
  return ['--job', jobs[0].id];
}
