// A new torque: how long until answer and chart stand and until the lists below them do, and how often script calls the
// module for it. On the demo and with sixteen times its tools, at full speed and with the processor slowed four times.
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import {
  answered,
  browsers,
  countCalls,
  listen,
  packed,
  pageAround,
  site,
  withBrowser,
} from '../browser/harness.mjs';
import { moreData } from './first.mjs';
import { median } from './median.mjs';
import { serving } from './serve.mjs';

const TURNS = 12;

const DATA = { demo: 'results.json', large: 'large.json' };
const PAIR = 'tool="sorrel-18-medium" pack="two-row-8-0"';

/** Milliseconds for a new torque and calls of the module, for one pair and for all. */
export async function press() {
  const files = new Map([['large.txt', await packed(await moreData())]]);
  for (const name of ['job-torque.js', 'job-torque.wasm', 'texts.json', 'results.txt']) {
    files.set(name, await readFile(path.join(site, name)));
  }
  for (const [name, data] of Object.entries(DATA)) {
    const around = (asked) => pageAround(`<job-torque src="${data}" ${asked}></job-torque>`);
    files.set(`${name}.html`, around('')).set(`${name}-pair.html`, around(PAIR));
  }
  const rows = {};
  await serving(files, (address) =>
    withBrowser(browsers[0], async (running) => {
      for (const name of Object.keys(DATA)) {
        for (const [pairs, asked] of Object.entries({ 'one pair': PAIR, 'any pair': '' })) {
          for (const slowed of [1, 4]) {
            const of = `${name}, ${pairs}, processor slowed ${slowed} times`;
            rows[of] = await pressed(running, `${address}${name}${asked ? '-pair' : ''}.html`, slowed);
          }
        }
      }
    }),
  );
  return rows;
}

async function pressed(running, address, slowed) {
  const page = await running.newPage();
  await page.setViewport({ width: 1280, height: 900, deviceScaleFactor: 1 });
  await listen(page);
  await countCalls(page);
  await page.goto(address, { timeout: 120_000 });
  await answered(page);
  const session = await page.createCDPSession();
  await session.send('Emulation.setCPUThrottlingRate', { rate: slowed });
  const measured = await page.evaluate(inPage, TURNS);
  await page.close();
  const kept = measured.slice(3);
  const middle = (of) => median(kept.map(of)).toFixed(1);
  return {
    'answer and chart, ms': middle(({ stands }) => stands),
    'in the module, ms': middle(({ inModule }) => inModule),
    'in the module for lists, ms': middle(({ lists }) => lists),
    calls: kept[0].calls.join(' '),
    'and later': kept[0].later.join(' '),
  };
}

/* Runs in the page. */
async function inPage(turns) {
  const element = document.querySelector('job-torque');
  const canvas = element.shadowRoot.querySelector('canvas');
  const measured = [];
  for (let turn = 0; turn < turns; turn += 1) {
    globalThis.calls = [];
    globalThis.inModule = 0;
    const heard = new Promise((resolve) => element.addEventListener('answer', resolve, { once: true }));
    const start = performance.now();
    element.setAttribute('job', `${200 + 7 * turn} N·m`);
    await heard;
    element.getBoundingClientRect();
    canvas.getContext('2d').getImageData(0, 0, 1, 1);
    const stands = performance.now() - start;
    const [calls, inModule] = [globalThis.calls, globalThis.inModule];
    globalThis.calls = [];
    globalThis.inModule = 0;
    // What was put off until after the next frame is done before the next turn.
    await new Promise((resolve) => requestAnimationFrame(() => setTimeout(() => setTimeout(resolve))));
    measured.push({ stands, inModule, lists: globalThis.inModule, calls, later: globalThis.calls });
  }
  return measured;
}
