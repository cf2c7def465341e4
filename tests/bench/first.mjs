// The first answer that can be read: the results page against a static page of the same text, on the same host, in turns.
// Also when the live answer stands, and the same with sixteen times the data.
import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { browsers, eventually, program, site, withBrowser } from '../browser/harness.mjs';
import { CONDITIONS, slowedAs } from './conditions.mjs';
import { median } from './median.mjs';
import { serving } from './serve.mjs';

const run = promisify(execFile);
const TURNS = 15;
const COPIES = 16;

/** Milliseconds from navigation to the first answer, middle of several turns. */
export async function first() {
  const index = await readFile(path.join(site, 'index.html'), 'utf8');
  const large = await withMoreData();
  const files = new Map([
    ['index.html', index],
    ['static.html', withoutScript(index)],
    ['large.html', large],
    ['large-static.html', withoutScript(large)],
  ]);
  const rows = {};
  await serving(files, (address) =>
    withBrowser(browsers[0], async (running) => {
      for (const [name, condition] of Object.entries(CONDITIONS)) {
        const times = { index: [], static: [], large: [], 'large-static': [], live: [], 'large live': [] };
        for (let turn = 0; turn < (condition ? 5 : TURNS); turn += 1) {
          for (const page of ['index', 'static', 'large', 'large-static']) {
            const { readable, live } = await opened(running, `${address}${page}.html`, condition);
            times[page].push(readable);
            if (page === 'index') times.live.push(live);
            if (page === 'large') times['large live'].push(live);
          }
        }
        const middle = Object.fromEntries(Object.entries(times).map(([key, all]) => [key, median(all)]));
        rows[name] = {
          'static page': Math.round(middle.static),
          'results page': Math.round(middle.index),
          ratio: (middle.index / middle.static).toFixed(2),
          live: Math.round(middle.live),
          [`${COPIES} times the data`]: Math.round(middle.large),
          growth: (middle.large / middle.index).toFixed(2),
          'live, more data': Math.round(middle['large live']),
        };
      }
    }),
  );
  return rows;
}

/** Opens a page in a fresh context; when its answer could first be read, and when it was live. */
async function opened(running, address, condition) {
  const context = await running.createBrowserContext();
  const page = await context.newPage();
  await page.setViewport({ width: 1280, height: 900 });
  await page.evaluateOnNewDocument(() => {
    document.addEventListener('answer', () => (globalThis.live ??= performance.now()));
  });
  const session = await page.createCDPSession();
  await slowedAs(session, condition);
  await page.goto(address, { waitUntil: 'load', timeout: 120_000 });
  const live = address.includes('static') ? null : await eventually(page, () => globalThis.live);
  const readable = await eventually(
    page,
    () => performance.getEntriesByName('first-contentful-paint')[0]?.startTime,
  );
  await context.close();
  return { readable, live };
}

/** The page as it would stand without this program: text and style alone. */
const withoutScript = (html) => html.replace(/<script[^]*?<\/script>/g, '');

/** The dataset with every tool, and its runs, several times under other names. */
export async function moreData() {
  const data = JSON.parse(await readFile(path.join(site, 'results.json'), 'utf8'));
  const copies = (list, copied) =>
    list.flatMap((one) =>
      Array.from({ length: COPIES }, (_, copy) => (copy === 0 ? one : copied(one, copy))),
    );
  const other = (id, copy) => `${id}-${copy}`;
  data.tools = copies(data.tools, (tool, copy) => ({
    ...tool,
    id: other(tool.id, copy),
    name: `${tool.name} ${copy}`,
  }));
  data.runs = copies(data.runs, (one, copy) => ({ ...one, tool: other(one.tool, copy) }));
  return JSON.stringify(data);
}

/** The results page of that dataset. */
async function withMoreData() {
  const data = JSON.parse(await moreData());
  // It is no longer the file that `page` wrote.
  delete data.jobtorque;
  const folder = await mkdtemp(path.join(tmpdir(), 'bench-'));
  try {
    const file = path.join(folder, 'large.json');
    await writeFile(file, JSON.stringify(data));
    await run(program, ['page', '--data', file, '--out', folder], { maxBuffer: 1 << 26 });
    return await readFile(path.join(folder, 'index.html'), 'utf8');
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
