// Dragging the needed line: frames a second, how long each frame's work takes, and how long the places by torque take once
// the line is let go of or a question is new. On the demo and with sixteen times its tools, at full speed and with the
// processor slowed four times.
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { answered, browsers, listen, pageAround, site, withBrowser } from '../browser/harness.mjs';
import { moreData } from './first.mjs';
import { median } from './median.mjs';
import { serving } from './serve.mjs';

const MOVES = 90;

const DATA = { demo: 'results.json', large: 'large.json' };
const PAIR = 'tool="sorrel-18-medium" pack="two-row-8-0"';

/** Frames a second while the line is dragged, and milliseconds of what belongs to it. */
export async function drag() {
  const files = new Map([['large.txt', await packed(await moreData())]]);
  for (const name of ['job-torque.js', 'job-torque.wasm', 'texts.json', 'results.txt']) {
    files.set(name, await readFile(path.join(site, name)));
  }
  for (const [name, data] of Object.entries(DATA)) {
    const around = (asked) => pageAround(`<job-torque src="${data}" job="650 N·m" ${asked}></job-torque>`);
    files.set(`${name}.html`, around('')).set(`${name}-pair.html`, around(PAIR));
  }
  const rows = {};
  await serving(files, (address) =>
    withBrowser(browsers[0], async (running) => {
      for (const name of Object.keys(DATA)) {
        for (const [pairs, page] of Object.entries({ 'one pair': `${name}-pair`, 'any pair': name })) {
          for (const slowed of [1, 4]) {
            const of = `${name}, ${pairs}, processor slowed ${slowed} times`;
            rows[of] = await dragged(running, `${address}${page}.html`, slowed);
          }
        }
      }
    }),
  );
  return rows;
}

async function dragged(running, address, slowed) {
  const page = await running.newPage();
  await page.setViewport({ width: 1280, height: 900, deviceScaleFactor: 1 });
  await listen(page);
  await page.goto(address, { timeout: 120_000 });
  await answered(page);
  const session = await page.createCDPSession();
  await session.send('Emulation.setCPUThrottlingRate', { rate: slowed });
  const { took, frames, placed, drawn } = await page.evaluate(inPage, MOVES);
  await page.close();
  return {
    'frames a second': (1000 / median(frames)).toFixed(0),
    'slowest of ten, a second': (
      1000 / frames.sort((a, b) => a - b)[Math.floor(frames.length * 0.9)]
    ).toFixed(0),
    'work in a frame, ms': median(took).toFixed(1),
    'places by torque, new, ms': placed.toFixed(1),
    'drawn again, ms': drawn.toFixed(1),
  };
}

/* Runs in the page. */
async function inPage(moves) {
  const root = document.querySelector('job-torque').shadowRoot;
  const grip = root.querySelector('.plate .grip');
  const { x, y, width, height } = grip.getBoundingClientRect();
  const at = { clientX: x + width - 8, clientY: y + height / 2 };
  const more = { bubbles: true, composed: true, isPrimary: true, pointerId: 1, button: 0 };
  const send = (kind, down) =>
    grip.dispatchEvent(new PointerEvent(kind, { ...more, ...at, clientY: at.clientY + down }));
  // A pointer that a test makes cannot be captured.
  grip.setPointerCapture = () => {};
  const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
  send('pointerdown', 0);
  const [took, frames] = [[], []];
  let last = await frame();
  for (let move = 0; move < moves; move += 1) {
    send('pointermove', 10 + 50 * (1 + Math.sin(move / 6)));
    const now = await frame();
    // What was asked for in this frame is done before this continues.
    took.push(performance.now() - now);
    frames.push(now - last);
    last = now;
  }
  send('pointerup', 30);
  await new Promise((resolve) => setTimeout(resolve, 500));
  return { took: took.slice(5), frames: frames.slice(5), ...(await places()) };

  async function places() {
    const { Jobtorque, resultsIn } = await import('/job-torque.js');
    const src = document.querySelector('job-torque').getAttribute('src');
    const data = resultsIn(await (await fetch(src.replace(/json$/, 'txt'))).text());
    const results = new Jobtorque(data, await (await fetch('texts.json')).json());
    const tool = document.querySelector('job-torque').getAttribute('tool');
    const question = { job: '650 N·m', ...(tool ? { tool, pack: 'two-row-8-0' } : {}) };
    const canvas = document.createElement('canvas');
    const room = { width_px: 640, height_px: 68, text_px: 13 };
    const grey = [128, 128, 128];
    const look = { ratio: 2, ground: grey, grid: grey, needed: grey, curves: [grey] };
    results.ask(question, true);
    results.draw(question, canvas, { ...room, height_px: 300 }, look);
    results.lists(question);
    const draw = () => {
      const start = performance.now();
      results.draw_places(question, canvas, room, look);
      return performance.now() - start;
    };
    return { placed: draw(), drawn: draw() };
  }
}
