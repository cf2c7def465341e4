// What an article pays for the element: bytes, requests and time of the main thread until it is idle, untouched and once
// it is touched, beside the same article with the curves of the same pairs drawn by uPlot and by a general chart library.
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { browsers, eventually, publishedData, site, wake, withBrowser } from '../browser/harness.mjs';
import { CONDITIONS, slowedAs } from './conditions.mjs';
import { median } from './median.mjs';
import { sampled } from './sampled.mjs';
import { serving } from './serve.mjs';

const TURNS = 5;
/** Points of each curve for the rivals. */
const POINTS = 600;
const CURVES = 3;
/** Nothing was asked for or worked out for so long. */
const IDLE_MS = 700;

const ELEMENT = /<job-torque[^]*<\/job-torque>/;

/** A script that fetches curves, draws them by a rival's library and says when. */
const rival = (library, draw) => `<div id="chart" style="height:360px"></div>${library}<script type="module">
const { times, torques } = await (await fetch('curves.json')).json();
const room = document.getElementById('chart');
${draw}
requestAnimationFrame(() => setTimeout(() => (globalThis.live = performance.now())));
</script>`;

const BY_UPLOT = `new uPlot({ width: room.clientWidth, height: 360, scales: { x: { time: false } },
  series: [{}, ...torques.map((_, i) => ({ stroke: ['#00609a', '#a04300', '#006b52'][i], width: 2 }))] }, [times, ...torques], room);`;

const BY_CHART_JS = `const canvas = room.appendChild(document.createElement('canvas'));
new Chart(canvas, { type: 'line', options: { animation: false, maintainAspectRatio: false, elements: { point: { radius: 0 } },
  scales: { x: { type: 'linear' } } }, data: { datasets: torques.map((torque, i) => ({ borderWidth: 2,
  borderColor: ['#00609a', '#a04300', '#006b52'][i], data: torque.map((y, k) => ({ x: times[k], y })) })) } });`;

/** The pages, and what they load. */
async function articles() {
  const files = new Map();
  const ours = [
    'embed.js',
    'job-torque-first.js',
    'job-torque-first.wasm',
    'job-torque.js',
    'job-torque.wasm',
  ];
  for (const name of [...ours, 'texts.json', 'texts-first.json', 'results.txt', 'results-summary.txt']) {
    files.set(name, await readFile(path.join(site, name)));
  }
  const modules = new URL('../browser/node_modules/', import.meta.url);
  files.set('uplot.js', await readFile(new URL('uplot/dist/uPlot.iife.min.js', modules)));
  files.set('uplot.css', await readFile(new URL('uplot/dist/uPlot.min.css', modules)));
  files.set('chart.js', await readFile(new URL('chart.js/dist/chart.umd.min.js', modules)));
  const data = await publishedData();
  const times = Array.from({ length: POINTS }, (_, i) => Number(((5 * i) / (POINTS - 1)).toFixed(4)));
  const pairs = [...new Map(data.runs.map((run) => [`${run.tool}/${run.pack}`, run])).values()];
  const torques = pairs
    .slice(0, CURVES)
    .map((run) => sampled(run.buildup, times).map((torque) => Number(torque.toFixed(1))));
  files.set('curves.json', JSON.stringify({ times, torques }));
  const post = await readFile(path.join(site, 'post.html'), 'utf8');
  const without = post.replace('<script type="module" src="embed.js"></script>', '');
  const around = (html) => without.replace(ELEMENT, () => html);
  files.set('element.html', post);
  files.set('without.html', around(''));
  const style = '<link rel="stylesheet" href="uplot.css">';
  files.set('uplot.html', around(rival(`${style}<script src="uplot.js"></script>`, BY_UPLOT)));
  files.set('chart-js.html', around(rival('<script src="chart.js"></script>', BY_CHART_JS)));
  return files;
}

/** A row for each kind of article and each network. */
export async function article() {
  const kinds = {
    'without it': ['without.html', false],
    'the element, untouched': ['element.html', false],
    'the element, touched': ['element.html', true],
    uPlot: ['uplot.html', false],
    'Chart.js': ['chart-js.html', false],
  };
  const rows = {};
  await serving(await articles(), (address) =>
    withBrowser(browsers[0], async (running) => {
      for (const [network, condition] of Object.entries(CONDITIONS)) {
        const all = Object.fromEntries(Object.keys(kinds).map((kind) => [kind, []]));
        for (let turn = 0; turn < TURNS; turn += 1) {
          for (const [kind, [page, touched]] of Object.entries(kinds)) {
            all[kind].push(await paid(running, `${address}${page}`, condition, touched));
          }
        }
        const middle = (kind, figure) => median(all[kind].map((one) => one[figure]));
        for (const kind of Object.keys(kinds)) {
          rows[`${network}: ${kind}`] = {
            requests: middle(kind, 'requests'),
            bytes: middle(kind, 'bytes'),
            'main thread, ms': middle(kind, 'busy').toFixed(1),
            'more than without': (middle(kind, 'busy') - middle('without it', 'busy')).toFixed(1),
            'until it answers or is drawn, ms': Math.round(middle(kind, 'until')) || '',
          };
        }
      }
    }),
  );
  return rows;
}

/** Opens an article in a fresh context, and touches the element in it. */
async function paid(running, address, condition, touched) {
  const context = await running.createBrowserContext();
  const page = await context.newPage();
  await page.setViewport({ width: 1280, height: 900 });
  await page.evaluateOnNewDocument(() => {
    document.addEventListener('answer', () => (globalThis.live ??= performance.now()));
  });
  const session = await page.createCDPSession();
  await session.send('Network.enable');
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  const seen = { requests: 0, bytes: 0, at: Date.now() };
  session.on('Network.requestWillBeSent', ({ request }) => {
    if (request.url.startsWith('http')) seen.requests += 1;
    seen.at = Date.now();
  });
  session.on('Network.loadingFinished', ({ encodedDataLength }) => {
    seen.bytes += encodedDataLength;
    seen.at = Date.now();
  });
  await slowedAs(session, condition);
  await page.goto(address, { waitUntil: 'load', timeout: 120_000 });
  const quiet = async () => {
    while (Date.now() - seen.at < IDLE_MS) await new Promise((resolve) => setTimeout(resolve, 50));
  };
  await quiet();
  let from = 0;
  if (touched) {
    from = await page.evaluate(() => performance.now());
    await wake(page);
    await eventually(page, () => globalThis.live);
    seen.at = Date.now();
    await quiet();
  }
  const live = await page.evaluate(() => globalThis.live ?? 0);
  const { metrics } = await session.send('Performance.getMetrics');
  const busy = metrics.find(({ name }) => name === 'TaskDuration').value * 1000;
  await context.close();
  return { requests: seen.requests, bytes: seen.bytes, busy, until: live && live - from };
}
