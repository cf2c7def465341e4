// Redrawing curves: the element's chart (band, marks, words and all that it works out) against uPlot drawing one run of each
// of the same pairs, in canvases of one size, in turns.
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { browsers, site, withBrowser } from '../browser/harness.mjs';
import { median } from './median.mjs';
import { serving } from './serve.mjs';

const TURNS = 60;
const POINTS = [300, 1000, 5000];
const RATIO = 2;

/** Milliseconds to redraw, painting included, and their ratio, for curves of so many points. */
export async function redraw() {
  const files = new Map();
  for (const name of ['job-torque.js', 'job-torque.wasm', 'results.json', 'results.txt', 'texts.json']) {
    files.set(name, await readFile(path.join(site, name)));
  }
  const uplot = new URL('../browser/node_modules/uplot/dist/', import.meta.url);
  files.set('uplot.js', await readFile(new URL('uPlot.esm.js', uplot)));
  files.set('sampled.js', await readFile(new URL('sampled.mjs', import.meta.url)));
  const style = await readFile(new URL('uPlot.min.css', uplot), 'utf8');
  files.set('bench.html', `<!DOCTYPE html><meta charset="utf-8"><style>${style}</style><main></main>`);
  const measured = await serving(files, (address) =>
    withBrowser(browsers[0], async (running) => {
      const page = await running.newPage();
      await page.setViewport({ width: 1280, height: 900, deviceScaleFactor: RATIO });
      await page.goto(`${address}bench.html`);
      return page.evaluate(inPage, POINTS, TURNS, RATIO);
    }),
  );
  const rows = {};
  for (const { curves, points, ours, theirs } of measured) {
    const [own, rival] = [median(ours), median(theirs)];
    rows[`${curves} curves, ${points} points each for uPlot`] = {
      'element, ms': own.toFixed(2),
      'uPlot, ms': rival.toFixed(2),
      ratio: (own / rival).toFixed(2),
    };
  }
  return rows;
}

/* Runs in the page. */
async function inPage(pointCounts, turns, ratio) {
  const [{ Jobtorque, initSync, resultsIn }, { default: UPlot }, { sampled }] = await Promise.all([
    import('/job-torque.js'),
    import('/uplot.js'),
    import('/sampled.js'),
  ]);
  const json = async (name) => (await fetch(name)).json();
  const wasm = await (await fetch('/job-torque.wasm')).arrayBuffer();
  initSync({ module: await WebAssembly.compile(wasm) });
  const data = await json('/results.json');
  const published = resultsIn(await (await fetch('/results.txt')).text());
  const results = new Jobtorque(published, await json('/texts.json'));
  const [width, height] = [900, 480];
  const all = results.table({ job: '400 N·m' }).rows.slice(0, 5);
  const [{ tool, pack }, ...others] = all.map((row) => ({ tool: row.tool, pack: row.pack }));
  const question = { job: '400 N·m', tool, pack, beside: others };
  const canvas = document.createElement('canvas');
  canvas.style.cssText = `display:block;width:${width}px;height:${height}px`;
  const holder = document.createElement('div');
  document.querySelector('main').append(canvas, holder);
  const frame = { width_px: width, height_px: height, text_px: 13 };
  const colours = [
    [0, 96, 154],
    [160, 67, 0],
    [0, 107, 82],
    [112, 48, 112],
    [80, 80, 80],
  ];
  const look = {
    ratio,
    ground: [255, 255, 255],
    grid: [210, 210, 200],
    needed: [113, 40, 79],
    curves: colours,
  };
  const view = results.draw(question, canvas, frame, look);

  /** The build-up curve of a pair's first run. */
  const curve = ({ tool, pack }, times) =>
    sampled(data.runs.find((run) => run.tool === tool && run.pack === pack).buildup, times);
  // Reading one pixel back waits until everything is painted.
  const settled = (target) => target.getContext('2d').getImageData(0, 0, 1, 1).data[0];
  const timed = async (work, target) => {
    const start = performance.now();
    work();
    // The rival puts its drawing off until the running task ends.
    await new Promise((resolve) => queueMicrotask(() => queueMicrotask(resolve)));
    settled(target);
    return performance.now() - start;
  };
  const measured = [];
  for (const points of pointCounts) {
    const times = Array.from({ length: points }, (_, i) => (5 * i) / (points - 1));
    const series = [times, ...all.map((pair) => curve(pair, times))];
    holder.replaceChildren();
    const lines = view.curves.map((_, i) => ({
      stroke: `rgb(${colours[i]})`,
      width: 2,
      points: { show: false },
    }));
    const options = {
      width,
      height,
      series: [{}, ...lines],
      scales: { x: { time: false } },
      legend: { show: false },
    };
    const rival = new UPlot(options, series, holder);
    const rivalCanvas = holder.querySelector('canvas');
    const [ours, theirs] = [[], []];
    for (let turn = 0; turn < turns; turn += 1) {
      ours.push(await timed(() => results.draw(question, canvas, frame, look), canvas));
      theirs.push(await timed(() => rival.redraw(true), rivalCanvas));
      await new Promise((resolve) => setTimeout(resolve));
    }
    rival.destroy();
    measured.push({ curves: view.curves.length, points, ours: ours.slice(5), theirs: theirs.slice(5) });
  }
  return measured;
}
