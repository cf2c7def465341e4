// From a change of choice to everything ready to be painted: answer, chart and lists in place, style and layout done, the
// canvas painted. At full speed and with the processor slowed four times.
import {
  answered,
  browsers,
  listen,
  pageAddress,
  publishedData,
  site,
  withBrowser,
} from '../browser/harness.mjs';
import { median } from './median.mjs';

const TURNS = 40;

/** Milliseconds for a new torque, a new pack and a new tool: middle and slowest tenth. */
export async function change() {
  const rows = {};
  await withBrowser(browsers[0], async (running) => {
    for (const slowed of [1, 4]) {
      const page = await running.newPage();
      await page.setViewport({ width: 1280, height: 900, deviceScaleFactor: 1 });
      await listen(page);
      await page.goto(`${pageAddress(site)}#tool=sorrel-18-medium&pack=two-row-8-0`);
      await answered(page);
      const session = await page.createCDPSession();
      await session.send('Emulation.setCPUThrottlingRate', { rate: slowed });
      const measured = await page.evaluate(inPage, TURNS, await publishedData());
      for (const [what, times] of Object.entries(measured)) {
        const kept = times.slice(5).sort((a, b) => a - b);
        rows[`${what}, processor slowed ${slowed} times`] = {
          'middle, ms': median(kept).toFixed(1),
          'slowest tenth, ms': kept[Math.floor(kept.length * 0.9)].toFixed(1),
        };
      }
      await page.close();
    }
  });
  return rows;
}

/* Runs in the page. */
async function inPage(turns, data) {
  const element = document.querySelector('job-torque');
  const canvas = element.shadowRoot.querySelector('canvas');
  const tools = data.tools.slice(0, 6).map((tool) => tool.id);
  const ours = data.tools.find((tool) => tool.id === 'sorrel-18-medium');
  const fitting = data.packs.filter((pack) => pack.pack_mount === ours.pack_mount).map((pack) => pack.id);
  const changes = {
    'a new torque': (turn) => ({ tool: ours.id, pack: 'two-row-8-0', job: `${200 + 7 * turn} N·m` }),
    'a new pack': (turn) => ({ tool: ours.id, pack: fitting[turn % fitting.length], job: '400 N·m' }),
    'a new tool, any pack': (turn) => ({ tool: tools[turn % tools.length], pack: null, job: '400 N·m' }),
  };
  const measured = {};
  for (const [what, choice] of Object.entries(changes)) {
    measured[what] = [];
    for (let turn = 0; turn < turns; turn += 1) {
      const heard = new Promise((resolve) => element.addEventListener('answer', resolve, { once: true }));
      const start = performance.now();
      for (const [name, value] of Object.entries(choice(turn))) {
        if (value === null) element.removeAttribute(name);
        else element.setAttribute(name, value);
      }
      await heard;
      element.getBoundingClientRect();
      canvas.getContext('2d').getImageData(0, 0, 1, 1);
      measured[what].push(performance.now() - start);
      // What was put off until after the next frame is done before the next turn.
      await new Promise((resolve) => requestAnimationFrame(() => setTimeout(() => setTimeout(resolve))));
    }
  }
  return measured;
}
