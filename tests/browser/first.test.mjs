// What an article loads first answers like the whole, and the whole takes over where it is needed.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import { pathToFileURL } from 'node:url';
import {
  answered,
  article,
  browsers,
  eventually,
  inside,
  publishedData,
  site,
  typeOf,
  wake,
  withBrowser,
  withPage,
  withSite,
} from './harness.mjs';
import { job, random } from './questions.mjs';

const QUESTIONS = 800;

/** A file of JSON of the site. */
const parsed = async (name) => JSON.parse(await readFile(path.join(site, name), 'utf8'));

/** A module of the site with its script and the results and texts that it reads, as one that answers. */
async function opened(name, results, texts) {
  const { Jobtorque, initSync, resultsIn } = await import(
    pathToFileURL(path.resolve(site, `${name}.js`)).href
  );
  initSync({ module: await readFile(path.join(site, `${name}.wasm`)) });
  const data = resultsIn(await readFile(path.join(site, results), 'utf8'));
  return new Jobtorque(data, await parsed(texts));
}

/** The first part with the results of an edition, or of the newest. */
const firstOf = (edition) =>
  opened('job-torque-first', `results-summary${edition ? `-${edition}` : ''}.txt`, 'texts-first.json');

const both = async () => [await firstOf(null), await opened('job-torque', 'results.txt', 'texts.json')];

/** What something gives, or the problem it throws. */
function given(work) {
  try {
    return { value: work() };
  } catch (problem) {
    assert.ok(Object.hasOwn(problem, 'pointer'), String(problem));
    return { problem };
  }
}

const nothing = {
  tool: null,
  pack: null,
  beside: [],
  job: null,
  direction: null,
  condition: null,
  loss_percent: null,
  within_s: null,
  score: null,
  setup: null,
  rig: null,
  edition: null,
  by: null,
  currency: null,
  narrow: null,
  sort: null,
  order: null,
  chosen: null,
  stated: null,
  units: null,
};

/** A question in the words of the module. */
const question = ({ condition, loss, within, edition, ...same }) => ({
  ...nothing,
  ...same,
  condition: condition === null ? null : Number(condition),
  loss_percent: loss === null ? null : Number(loss),
  within_s: within === null ? null : Number(within),
  edition: edition === null ? null : Number(edition),
});

/** Jobs as people write them, with and without what only the whole reads. */
const WRITTEN = [
  '650',
  '650 N·m',
  '480 lbf·ft',
  '20-40',
  '1,5',
  '1.234',
  '1/2',
  '12',
  'M20 10.9',
  'M20',
  '19 mm',
  '3/4-10 grade 8',
  'wheel',
  'nonsense',
  '',
  '650 J',
  '0.1',
  '99999 N·m',
];

/** Whether a question takes the curves of runs. */
const needsRuns = ({ score }) => score === 'best-of-three';

/** What was given, without best of three at any depth: that takes the runs' own curves. */
const byTypical = (given) =>
  JSON.parse(JSON.stringify(given, (name, value) => (name.startsWith('best_of_three') ? undefined : value)));

test('the first module answers like the whole: questions at random, and jobs as they are written', async () => {
  const [newest, whole] = await both();
  const data = await publishedData();
  const editions = new Map([[null, newest]]);
  for (const { edition } of data.editions) editions.set(edition, await firstOf(edition));
  assert.equal(editions.size, 4);
  const drawn = random(20261130);
  const asked = Array.from({ length: QUESTIONS }, () =>
    question({
      ...job(drawn, data),
      tool: drawn.maybe(0.7, () => drawn.pick(data.tools).id),
      pack: drawn.maybe(0.7, () => drawn.pick(data.packs).id),
    }),
  );
  asked.push(...WRITTEN.map((written) => ({ ...nothing, job: written })));
  const frame = { width_px: 700, height_px: 360, text_px: 14, runs: false, top_nm: null };
  let [answers, left, older] = [0, 0, 0];
  for (const one of asked) {
    const first = editions.get(one.edition);
    const [mine, its] = [first, whole].map((module) => given(() => module.ask(one, false)));
    if (needsRuns(one)) assert.ok(mine.problem, JSON.stringify(one));
    if (mine.problem) {
      // The whole says what is wrong, or answers.
      left += 1;
      continue;
    }
    answers += 1;
    if (first !== newest) older += 1;
    assert.deepEqual(byTypical(mine), byTypical(its), JSON.stringify(one));
    for (const of of [
      (module) => module.list(one),
      (module) => module.readings(one, frame),
      (module) => module.job_at(one, frame, 100),
      (module) => module.job_stepped(one, 3),
    ]) {
      assert.deepEqual(
        byTypical(given(() => of(first))),
        byTypical(given(() => of(whole))),
        JSON.stringify(one),
      );
    }
  }
  const all = whole.contents();
  // The page of results shows these besides; the first part reads no notes.
  for (const first of editions.values()) {
    assert.deepEqual(first.contents(), {
      ...all,
      summary: null,
      measured: [],
      citation: [],
      editions: all.editions.map((edition) => ({ ...edition, lines: [] })),
    });
  }
  // Each edition's results are its own.
  for (const [edition, first] of editions) {
    const asked = { ...nothing, job: '300 N·m', edition: (edition ?? data.editions.at(-1).edition) - 1 };
    assert.ok(given(() => first.ask(asked, false)).problem, String(edition));
  }
  assert.ok(answers >= 500, `${answers} answered`);
  assert.ok(older >= 100, `${older} of an edition that was named`);
  assert.ok(left > 5, `${left} left to the whole`);
});

test('what only the whole has stands in the whole alone', async () => {
  const [first, whole] = await both();
  for (const name of ['found', 'lists', 'table', 'take', 'runs', 'draw_places', 'job_across']) {
    assert.equal(typeof whole[name], 'function', name);
    assert.equal(first[name], undefined, name);
  }
});

test('the texts that the first part does without are asked for by the whole alone', async () => {
  const { texts: own } = await parsed('texts-first.json');
  const { texts: all } = await parsed('texts.json');
  for (const [key, text] of Object.entries(own)) assert.equal(text, all[key], key);
  const code = ['job-torque-first.wasm', 'job-torque-first.js'];
  const [module, script] = await Promise.all(code.map((name) => readFile(path.join(site, name), 'latin1')));
  const left = Object.keys(all).filter((key) => !Object.hasOwn(own, key));
  assert.ok(left.length > 250, `${left.length} texts`);
  for (const key of left) {
    const asked = key.replace(/\.(one|other)$/, '');
    assert.ok(!module.includes(asked), key);
    // The chart of the places, which only the whole draws, is part of both.
    if (key !== 'table.place') assert.ok(!script.includes(`"${asked}"`), key);
  }
});

const FIRST = [
  'embed.js',
  'job-torque-first.js',
  'job-torque-first.wasm',
  'post.html',
  'results-summary.txt',
  'texts-first.json',
];
const WHOLE = ['job-torque.js', 'job-torque.wasm', 'results.txt', 'texts.json'];

/** What stands in the blank for the job, and the headline. */
const told = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const blank = root.querySelector('[name="job"]');
    return {
      focused: root.activeElement === blank,
      text: blank.value,
      headline: root.querySelector('.headline').textContent,
      wrong: root.querySelector('.fault .wrong')?.textContent ?? '',
    };
  });

const type = async (page, text) => {
  const blank = await page.evaluateHandle(() =>
    document.querySelector('job-torque').shadowRoot.querySelector('[name="job"]'),
  );
  await blank.click();
  await page.keyboard.type(text);
};

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      /** An article whose element answers, `changed` files in place of its own. */
      const look = (use, changed = {}, more = {}) =>
        withSite(changed, (address, asked) =>
          withPage(
            running,
            `${address}post.html`,
            async (page) => {
              await wake(page);
              await answered(page);
              return use(page, asked);
            },
            more,
          ),
        );
      const asks = (page, job) =>
        page.evaluate(async (job) => {
          const element = document.querySelector('job-torque');
          const heard = new Promise((resolve) => element.addEventListener('answer', resolve, { once: true }));
          element.setAttribute('job', job);
          return (await heard).detail.required_torque_nm;
        }, job);

      await t.test('a torque, a tool, a pack and a list take the first part alone', () =>
        look(async (page, asked) => {
          assert.equal(await asks(page, '300 N·m'), 300);
          await page.evaluate(() =>
            document.querySelector('job-torque').setAttribute('tool', 'sorrel-18-medium'),
          );
          await eventually(page, () => document.querySelector('job-torque').list()?.length > 1);
          assert.deepEqual([...asked].sort(), FIRST);
        }),
      );

      await t.test('what is typed brings the whole, which takes over in the middle of it', () =>
        look(async (page, asked) => {
          await type(page, 'M20 10.9');
          await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            return root.querySelector('[role="option"]') !== null;
          });
          const typed = await told(page);
          assert.equal(typed.text, 'M20 10.9');
          assert.ok(typed.focused);
          assert.deepEqual([...asked].sort(), [...FIRST, ...WHOLE].sort(), 'each file once');
          await page.keyboard.press('Enter');
          await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            return root.querySelector('.headline').textContent.includes('610');
          });
          assert.equal((await told(page)).text, 'M20 10.9');
        }),
      );

      await t.test('a bolt that is asked for at once is answered by the whole', () =>
        look(async (page, asked) => {
          assert.equal(Math.round(await asks(page, 'M20 10.9')), 610);
          assert.ok(asked.includes('job-torque.wasm'));
        }),
      );

      await t.test('an element that is no longer compact shows everything', () =>
        look(async (page) => {
          await page.evaluate(() => document.querySelector('job-torque').removeAttribute('compact'));
          await eventually(page, () =>
            Boolean(document.querySelector('job-torque').shadowRoot.querySelector('.field table')),
          );
        }),
      );

      for (const name of ['job-torque.wasm', 'results.txt']) {
        const said = `where ${name} does not come for the whole, the answer stays, and the next time it is tried again`;
        await t.test(said, () => {
          let fails = true;
          const failing = async (request, response) => {
            if (fails) response.writeHead(503).end();
            else {
              const file = await readFile(path.join(site, name));
              response.writeHead(200, { 'content-type': typeOf(name) }).end(file);
            }
          };
          return look(
            async (page, asked) => {
              const before = (await told(page)).headline;
              await type(page, 'M20 10.9');
              await page.keyboard.press('Enter');
              await eventually(page, () => {
                const root = document.querySelector('job-torque').shadowRoot;
                return root.querySelector('.fault .wrong').textContent.includes('did not load');
              });
              assert.equal((await told(page)).headline, before);
              fails = false;
              assert.equal(Math.round(await asks(page, 'M16 10.9')) > 0, true);
              assert.equal((await told(page)).wrong, '');
              assert.ok(asked.filter((file) => file === name).length > 1);
              assert.equal(asked.filter((file) => file === 'results-summary.txt').length, 1);
            },
            { [name]: failing },
            { messages: true },
          );
        });
      }

      await t.test('two elements that need the whole share its results', () => {
        const two = '<job-torque src="results.json" job="M20 10.9" compact start="at-once"></job-torque>';
        return withSite({ 'two.html': article(two.repeat(2)) }, (address, asked) =>
          withPage(running, `${address}two.html`, async (page) => {
            await eventually(page, () => globalThis.heard.answers >= 2);
            const own = FIRST.map((name) => (name === 'post.html' ? 'two.html' : name));
            assert.deepEqual([...asked].sort(), [...own, ...WHOLE].sort(), 'each file once');
          }),
        );
      });

      await t.test('another source that is named while the whole is on its way is answered from', () => {
        const late = async (request, response) => {
          const results = await readFile(path.join(site, 'results.txt'));
          await new Promise((resolve) => setTimeout(resolve, 1500));
          response.writeHead(200, { 'content-type': 'text/plain' }).end(results);
        };
        return look(
          async (page, asked) => {
            const set = (name, value) =>
              page.evaluate(
                (name, value) => document.querySelector('job-torque').setAttribute(name, value),
                name,
                value,
              );
            await set('job', 'M20 10.9');
            for (let tries = 0; !asked.includes('results.txt') && tries < 200; tries += 1) {
              await new Promise((resolve) => setTimeout(resolve, 25));
            }
            await set('src', 'results.json?2');
            await eventually(page, () => Math.round(globalThis.heard.answer.required_torque_nm) === 610);
            assert.equal(asked.filter((name) => name === 'results.txt').length, 2);
          },
          { 'results.txt': late },
        );
      });

      await t.test('a whole of another version is not taken', () =>
        look(
          async (page) => {
            await page.evaluate(() => document.querySelector('job-torque').setAttribute('job', 'M20 10.9'));
            await eventually(page, () => {
              const root = document.querySelector('job-torque').shadowRoot;
              return root.querySelector('.fault .wrong').textContent.includes('another version');
            });
            assert.equal((await inside(page, '.headline')).seen, true);
          },
          { 'job-torque.js': other },
          { messages: true },
        ),
      );
    }),
  );
}

/** The script of the whole as another build has it. */
async function other(request, response) {
  const script = await readFile(path.join(site, 'job-torque.js'), 'utf8');
  const changed = script.replaceAll(/(\d+\.\d+\.\d+\+)[0-9a-f]{16}/g, '$10000000000000000');
  assert.notEqual(changed, script);
  response.writeHead(200, { 'content-type': 'text/javascript' }).end(changed);
}
