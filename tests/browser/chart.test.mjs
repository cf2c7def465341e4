// The chart: pairs laid over one another, read by pointer and keyboard, drawn anew when anything about it changes.
import assert from 'node:assert/strict';
import test from 'node:test';
import { constants, inflateSync } from 'node:zlib';
import { pairsIn, pairsText, withPair, withoutPair } from '../../www/overlay.js';
import {
  answered,
  browsers,
  eventually,
  pageAddress,
  site,
  withBrowser,
  withPage,
  publishedData,
} from './harness.mjs';

const CHOSEN = { tool: 'sorrel-18-medium', pack: 'two-row-5-0' };
const data = await publishedData();

/** Four measured pairs beside the chosen one. */
const beside = [];
for (const { tool, pack } of data.runs) {
  const known = [CHOSEN, ...beside].some((other) => other.tool === tool && other.pack === pack);
  if (!known && beside.length < 4 && data.runs.filter((run) => run.tool === tool).length > 3) {
    beside.push({ tool, pack });
  }
}

const linkTo = (choice) => `${pageAddress(site)}#${new URLSearchParams(choice)}`;
const chosen = { ...CHOSEN, job: '650 N·m' };

test('a text of pairs holds any identifier', () => {
  const odd = ['a/b', 'c d', '100%', '%2F', 'é\u2028', '+&#=', '\u{1f527}', '"<'];
  const pairs = odd.map((tool, i) => ({ tool, pack: odd[(i + 3) % odd.length] }));
  assert.deepEqual(pairsIn(pairsText(pairs)), pairs);
  const parts = new URLSearchParams({ beside: pairsText(pairs) });
  assert.deepEqual(pairsIn(new URLSearchParams(parts.toString()).get('beside')), pairs);
  assert.deepEqual(pairsIn(null), []);
  assert.deepEqual(pairsIn('x y/ /z 1/2 %/%'), [
    { tool: 'x', pack: '' },
    { tool: 'y', pack: '' },
    { tool: '', pack: 'z' },
    { tool: '1', pack: '2' },
    { tool: '%', pack: '%' },
  ]);
});

test('one pair more than there is room for takes the place of the first', () => {
  const [first, second, third, fourth] = beside;
  assert.deepEqual(pairsIn(withPair(beside, CHOSEN).beside), [second, third, fourth, CHOSEN]);
  assert.deepEqual(pairsIn(withPair([first, second], first).beside), [second, first]);
  assert.equal(withoutPair([first], first).beside, null);
});

/** What the chart shows: names in the key, controls, colours of the canvas that are not clear. */
const shown = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const plot = root.querySelector('.plate .plot');
    const canvas = plot.querySelector('canvas');
    const copy = document.createElement('canvas');
    Object.assign(copy, { width: canvas.width, height: canvas.height });
    const context = copy.getContext('2d', { willReadFrequently: true });
    context.drawImage(canvas, 0, 0);
    const pixels = context.getImageData(0, 0, copy.width, copy.height).data;
    const colours = new Map();
    for (let i = 0; i < pixels.length; i += 4) {
      if (pixels[i + 3] === 255) {
        const colour = pixels.slice(i, i + 3).join(' ');
        colours.set(colour, (colours.get(colour) ?? 0) + 1);
      }
    }
    return {
      key: [...root.querySelectorAll('.plate .key > span')].map((entry) => entry.textContent),
      controls: [...root.querySelectorAll('.plate .key button')].map((button) => button.title),
      name: canvas.getAttribute('aria-label'),
      ratio: canvas.width / plot.clientWidth,
      height: canvas.height / plot.clientHeight,
      colours: [...colours].filter(([, count]) => count > 300).map(([colour]) => colour),
    };
  });

/** The place of every element of the page, to see that none moves. */
const places = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const all = [...root.querySelectorAll('.sheet *')].filter((element) => !element.closest('.reading'));
    return all.map((element) => {
      const { x, y, width, height } = element.getBoundingClientRect();
      return [x, y, width, height].join(' ');
    });
  });

/** What is read, and whether its words keep clear of the points that they tell of. */
const reading = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const shown = root.querySelector('.plate .reading');
    if (shown.hidden) return null;
    const box = shown.querySelector('.box').getBoundingClientRect();
    const plot = shown.parentElement.getBoundingClientRect();
    const inside = box.left >= plot.left && box.right <= plot.right && box.top >= plot.top;
    const dots = [...shown.querySelectorAll('.dot')].map((dot) => dot.getBoundingClientRect());
    return {
      lines: [...shown.querySelectorAll('.box > *')].map((line) => line.textContent),
      spoken: root.querySelector('.plate .time').getAttribute('aria-valuetext'),
      inside: inside && box.bottom <= plot.bottom,
      covers: dots.some((dot) => dot.right > box.left && dot.left < box.right),
      dots: dots.length,
    };
  });

const plotOf = async (page) => {
  const plot = await page.evaluateHandle(() =>
    document.querySelector('job-torque').shadowRoot.querySelector('.plate .plot'),
  );
  return plot.boundingBox();
};

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      await t.test('a link lays pairs over the chart, and each can be taken away', () =>
        withPage(running, linkTo({ ...chosen, beside: pairsText(beside) }), async (page) => {
          await answered(page);
          const first = await shown(page);
          assert.equal(first.key.length, 5);
          assert.equal(first.controls.length, 4);
          assert.deepEqual(
            first.key.map((entry) => entry[0]),
            ['●', '■', '▲', '◆', '▼'],
          );
          // Five curves, the needed line, the ground within the marks.
          assert.ok(first.colours.length >= 6, first.colours.join(', '));
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('.plate .key button').click(),
          );
          const second = await shown(page);
          assert.deepEqual(second.controls, first.controls.slice(1));
          const hash = await page.evaluate(() => location.hash);
          assert.deepEqual(pairsIn(new URLSearchParams(hash.slice(1)).get('beside')), beside.slice(1));
          const focused = () => document.activeElement.shadowRoot.activeElement?.title;
          assert.equal(await page.evaluate(focused), second.controls[0]);
        }),
      );

      await t.test('a link to a pair that is not there says so and answers the rest', () =>
        withPage(running, linkTo({ ...chosen, beside: 'nobody/has-it' }), async (page) => {
          const answer = await answered(page);
          assert.equal(answer.tool, CHOSEN.tool);
          const fault = await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            const said = [...root.querySelectorAll('[part~="fault"]')].map((place) => place.textContent);
            return said.find(Boolean) ?? null;
          });
          assert.match(fault, /There is no tool "nobody" here/);
          assert.deepEqual((await shown(page)).controls, []);
        }),
      );

      await t.test('it is read under the pointer, and nothing moves', () =>
        withPage(running, linkTo({ ...chosen, beside: pairsText(beside) }), async (page) => {
          await answered(page);
          const before = await places(page);
          const { x, y, width, height } = await plotOf(page);
          for (const part of [0.02, 0.2, 0.5, 0.51, 0.8, 0.99]) {
            await page.mouse.move(x + part * width, y + height / 2);
            const read = await reading(page);
            assert.equal(read.lines.length, 6, String(part));
            assert.match(read.lines[0], /^[\d.]+ s$/);
            for (const line of read.lines.slice(1))
              assert.match(line, /^[●■▲◆▼] \S.* with \S.* [\d,.]+ N·m$/);
            assert.ok(read.inside && !read.covers && read.dots === 5, JSON.stringify(read));
            assert.deepEqual(await places(page), before);
          }
          await page.mouse.move(x + width / 2, y - 60);
          assert.equal(await reading(page), null);
          await page.mouse.click(x + width / 2, y + height / 2);
          await page.mouse.move(x + width / 2, y - 60);
          assert.notEqual(await reading(page), null);
        }),
      );

      await t.test('it is read by keyboard, on a phone too', () =>
        withPage(
          running,
          linkTo({ ...chosen, beside: pairsText(beside) }),
          async (page) => {
            await answered(page);
            const plot = await plotOf(page);
            assert.ok(plot.height >= 120, JSON.stringify(plot));
            // Above the fold, as a phone's bars leave it. Firefox on a desktop has a scroll bar and a wider serif.
            if (browser.name === 'Chromium') assert.ok(plot.y + plot.height < 560, JSON.stringify(plot));
            const before = await places(page);
            await page.evaluate(() =>
              document.querySelector('job-torque').shadowRoot.querySelector('.plate .time').focus(),
            );
            const answer = await page.evaluate(() => globalThis.heard.answer);
            const time = (read) => Number(read.lines[0].replace(' s', ''));
            const first = await reading(page);
            assert.ok(time(first) >= answer.time_to_job_s && time(first) < answer.time_to_job_s + 0.06);
            await page.keyboard.press('ArrowRight');
            assert.ok(time(await reading(page)) > time(first));
            await page.keyboard.press('Home');
            assert.equal((await reading(page)).lines[0], '0 s');
            for (let step = 0; step <= 100; step += 1) {
              const read = await reading(page);
              assert.ok(read.inside && !read.covers, JSON.stringify(read));
              for (const line of read.lines.slice(1)) {
                const [, name, torque] = /^. (.*) ([\d,.]+ N·m)$/.exec(line);
                assert.ok(read.spoken.includes(`${name}, ${torque}.`), line);
              }
              await page.keyboard.press('ArrowRight');
            }
            await page.keyboard.press('End');
            assert.equal((await reading(page)).lines[0], '5 s');
            assert.deepEqual(await places(page), before);
            await page.keyboard.press('Escape');
            assert.equal(await reading(page), null);
            await page.keyboard.press('ArrowLeft');
            assert.equal((await reading(page)).lines[0], '4.95 s');
            await page.keyboard.press('Tab');
            assert.equal(await reading(page), null);
          },
          { viewport: { width: 360, height: 640, deviceScaleFactor: 1 } },
        ),
      );

      await t.test('it has as many pixels as the screen, and at least two each way', async () => {
        for (const [ratio, drawn] of [
          [1, 2],
          [2, 2],
          [3, 3],
        ]) {
          await withPage(
            running,
            linkTo(chosen),
            async (page) => {
              await answered(page);
              const { ratio: across, height } = await shown(page);
              assert.deepEqual([across, height], [drawn, drawn], `ratio ${ratio}`);
            },
            { viewport: { width: 640, height: 900, deviceScaleFactor: ratio } },
          );
        }
      });

      await t.test('it follows its room', () =>
        withPage(running, linkTo(chosen), async (page) => {
          await answered(page);
          const wide = await page.evaluate(
            () => document.querySelector('job-torque').shadowRoot.querySelector('.plate .plot canvas').width,
          );
          await page.setViewport({ width: 500, height: 900 });
          await eventually(
            page,
            (before) => {
              const root = document.querySelector('job-torque').shadowRoot;
              const plot = root.querySelector('.plate .plot');
              const { width } = plot.querySelector('canvas');
              return width < before && width === 2 * plot.clientWidth;
            },
            wide,
          );
          assert.ok((await shown(page)).colours.length >= 3);
        }),
      );

      if (browser.name === 'Chromium') {
        await t.test('it follows the colours asked for', () =>
          withPage(running, linkTo(chosen), async (page) => {
            await answered(page);
            const seen = [];
            const browserOnly = await page.createCDPSession();
            for (const features of [
              [{ name: 'prefers-color-scheme', value: 'light' }],
              [{ name: 'prefers-color-scheme', value: 'dark' }],
              [
                { name: 'prefers-color-scheme', value: 'light' },
                { name: 'forced-colors', value: 'active' },
              ],
            ]) {
              await browserOnly.send('Emulation.setEmulatedMedia', { features });
              await new Promise((resolve) => setTimeout(resolve, 200));
              const { colours } = await shown(page);
              assert.ok(colours.length >= 2, colours.join(', '));
              seen.push(colours.sort().join(', '));
            }
            assert.equal(new Set(seen).size, 3, seen.join(' | '));
          }),
        );

        await t.test('it is on paper, as lines', () =>
          withPage(running, linkTo(chosen), async (page) => {
            await answered(page);
            // This browser prints what was drawn as lines: the edges of the band have points two CSS pixels apart, four
            // drawn pixels for each of them and eight coordinates for each of those; curves have fewer.
            const [drawn] = linesOf(Buffer.from(await page.pdf({ format: 'A4' })));
            const steps = drawn.across.slice(1).map((at, i) => Math.abs(at - drawn.across[i]));
            const ofEdges = steps.filter((step) => step > 8 * 7.5 && step < 8 * 8.5);
            assert.ok(ofEdges.length > 400, `${ofEdges.length} of ${steps.length}`);
            // A CSS pixel is 3.125 units; a 32nd of it is exact, so the lines fit the words.
            assert.ok(drawn.scales.includes(3.125 / 32), drawn.scales.join(', '));
          }),
        );
      }
    }),
  );
}

/** For every page with lines: the scales it is drawn in, and where across the points of its lines are. */
function linesOf(pdf) {
  const streams = [...pdf.toString('latin1').matchAll(/stream\r?\n/g)].map(({ index, 0: { length } }) => {
    try {
      return inflateSync(pdf.subarray(index + length), { finishFlush: constants.Z_SYNC_FLUSH }).toString();
    } catch {
      return '';
    }
  });
  const numbers = (stream, pattern) => [...stream.matchAll(pattern)].map(([, number]) => Number(number));
  const pages = streams.map((stream) => ({
    scales: numbers(stream, /(?:^|\n)(-?[\d.]+) 0 0 -?[\d.]+ -?[\d.]+ -?[\d.]+ cm\n/g),
    across: numbers(stream, /(-?[\d.]+) -?[\d.]+ l\n/g),
  }));
  return pages.filter(({ across }) => across.length > 100);
}
