// All pairs and the others that reach the job: sorted, narrowed, folded, opened, in both browsers.
import assert from 'node:assert/strict';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  eventually,
  holdAgainstAxe,
  pageAddress,
  site,
  withBrowser,
  withPage,
  packed,
  publishedData,
} from './harness.mjs';

const page = await readFile(path.join(site, 'index.html'), 'utf8');
const published = await publishedData();

/** The page with another dataset in it, in a folder of its own. */
async function pageOf(name, dataset) {
  const folder = path.join(site, '..', 'site-tables', name);
  await mkdir(folder, { recursive: true });
  const block = /(<script type="[^"]*" id="jobtorque-data">)[^]*?(<\/script>)/;
  const data = await packed(JSON.stringify(dataset));
  await writeFile(
    path.join(folder, 'index.html'),
    page.replace(block, (_, before, behind) => before + data + behind),
  );
  return pageAddress(folder);
}

/** So many pairs: tools of the invented data under further ids, each with packs that it was run with. */
function fieldOf(pairs) {
  const counts = (run) => run.setup === 'standard' && !run.excluded && run.edition && !run.control;
  const runs = published.runs.filter(counts);
  const field = { ...published, field_checks: [], specimens: [], tools: [], runs: [] };
  field.editions = published.editions.map((edition) => ({ ...edition, corrections: [] }));
  let found = 0;
  for (let round = 0; found < pairs; round += 1) {
    for (const tool of published.tools) {
      const own = runs.filter((run) => run.tool === tool.id);
      const packs = [...new Set(own.map((run) => run.pack))].slice(0, pairs - found);
      if (packs.length === 0) continue;
      found += packs.length;
      const id = `${tool.id}-${round}`;
      field.tools.push({ ...tool, id });
      const again = own.filter((run) => packs.includes(run.pack));
      field.runs.push(...again.map((run) => ({ ...run, tool: id, specimen: null, pack_specimen: null })));
    }
  }
  return field;
}

/** The table as people see it. */
const seen = () => {
  const field = document.querySelector('job-torque').shadowRoot.querySelector('.field');
  const shown = (element) => element.checkVisibility();
  const rows = [...field.querySelectorAll('tbody tr')].filter(shown);
  const pairs = rows.filter((row) => row.querySelector('.pair'));
  return {
    there: shown(field),
    narrows: shown(field.querySelector('.narrow form')),
    pairs: pairs.map((row) => row.querySelector('.pair').textContent),
    places: pairs.map((row) => row.querySelector('[data-key="place"] .unseen')?.textContent ?? '–'),
    masses: pairs.map((row) => row.querySelector('[data-key="mass"]').textContent),
    current: rows.filter((row) => row.ariaCurrent).map((row) => row.querySelector('.pair').textContent),
    dividers: rows.filter((row) => row.className === 'divider').map((row) => row.textContent),
    sorted: [...field.querySelectorAll('th[aria-sort]')].map((cell) => [cell.dataset.key, cell.ariaSort]),
    state: field.querySelector('.state').checkVisibility()
      ? field.querySelector('.state span').textContent
      : '',
    notes: [...field.querySelectorAll('.notes p')].map((note) => note.textContent),
    table: shown(field.querySelector('table')),
    all: [...field.querySelectorAll(':scope > button.onwards')].filter(shown).map((all) => all.textContent),
  };
};

/** What the table shows once it is as it is waited for. */
async function table(open, is) {
  for (let tries = 0; tries < 200; tries += 1) {
    const now = await open.evaluate(seen);
    if (is(now)) return now;
    await new Promise((resolve) => setTimeout(resolve, 25));
  }
  assert.fail(`waited in vain for ${is}: ${JSON.stringify(await open.evaluate(seen))}`);
  return null;
}

/** Presses, or sets and tells, a control of the shadow root. */
const act = (open, selector, value) =>
  open.evaluate(
    (selector, value) => {
      const control = document.querySelector('job-torque').shadowRoot.querySelector(selector);
      if (value === null) {
        control.click();
      } else {
        control.value = value;
        control.dispatchEvent(new Event('change', { bubbles: true }));
      }
    },
    selector,
    value ?? null,
  );

const figures = (texts) => texts.map((text) => Number.parseFloat(text));
const rises = (numbers) => numbers.every((number, i) => i === 0 || numbers[i - 1] <= number);

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const address = pageAddress(site);
      const at = (hash) => `${address}#${hash}`;

      await t.test('a heading sorts, both ways, and places stay', () =>
        withPage(running, at('size=medium'), async (open) => {
          await answered(open);
          const first = await table(open, (now) => now.pairs.length > 10);
          assert.deepEqual(first.sorted, [['place', 'ascending']]);
          await act(open, 'th[data-key="mass"] button');
          const light = await table(open, (now) => now.sorted[0]?.[0] === 'mass');
          assert.deepEqual(light.sorted, [['mass', 'ascending']]);
          const reaching = figures(light.masses).slice(0, 5);
          assert.ok(rises(reaching), reaching.join(' '));
          assert.notDeepEqual(light.pairs, first.pairs);
          const place = (now, name) => now.places[now.pairs.indexOf(name)];
          for (const name of light.pairs) assert.equal(place(light, name), place(first, name), name);
          assert.match(await open.evaluate(() => location.hash), /sort=mass/);
          await act(open, 'th[data-key="mass"] button');
          const heavy = await table(open, (now) => now.sorted[0]?.[1] === 'descending');
          assert.ok(rises(figures(heavy.masses).slice(0, 5).reverse()));
          await act(open, 'th[data-key="place"] button');
          const again = await table(open, (now) => now.sorted[0]?.[0] === 'place');
          assert.deepEqual(again.pairs, first.pairs);
        }),
      );

      await t.test('words and limits narrow it, say so, and are cleared', () =>
        withPage(running, address, async (open) => {
          await answered(open);
          await act(open, 'input[name="find"]', 'SÓRREL');
          const found = await table(open, (now) => now.state.startsWith('Showing '));
          assert.match(found.state, /^Showing \d+ of 43: found by “SÓRREL”\.$/);
          assert.ok(found.pairs.every((name) => name.startsWith('Sorrel')));
          await act(open, 'input[name="reaching"]');
          await table(open, (now) => now.state.includes('only those that reach it'));
          await act(open, 'input[name="longest"]', '100');
          const empty = await table(open, (now) => !now.table);
          assert.equal(empty.state, 'No pair is left. Clear the filters to see all 43.');
          await act(open, '.state button');
          const all = await table(open, (now) => now.table && now.state === '');
          assert.deepEqual(all.all, ['Show all 43 pairs']);
          const focused = () => document.activeElement.shadowRoot.activeElement.name;
          assert.equal(await open.evaluate(focused), 'find');
          const hash = await open.evaluate(() => location.hash);
          assert.doesNotMatch(hash, /find|reaching|longest/);
        }),
      );

      await t.test('what has no price stands last and is counted', () =>
        withPage(running, at('sort=price&reaching=yes'), async (open) => {
          await answered(open);
          const now = await table(open, (shown) => shown.sorted[0]?.[0] === 'price');
          assert.ok(now.notes.includes('3 pairs have no price and stand last.'), now.notes.join());
        }),
      );

      await t.test('no order by price across currencies', async () => {
        const tools = published.tools.map((tool, i) => {
          const prices = tool.prices?.map((price) => ({ ...price, currency: i < 4 ? 'SEK' : 'EUR' }));
          return { ...tool, prices: prices ?? [] };
        });
        const packs = published.packs.map((pack, i) => {
          const prices = pack.prices?.map((price) => ({ ...price, currency: i < 2 ? 'SEK' : 'EUR' }));
          return { ...pack, prices: prices ?? [] };
        });
        const two = await pageOf('currencies', { ...published, tools, packs });
        await withPage(running, `${two}#sort=price`, async (open) => {
          await answered(open);
          const said = 'Prices are in EUR, SEK. Choose one currency to sort by.';
          const now = await table(open, (shown) => shown.notes.includes(said));
          assert.deepEqual(now.sorted, [['place', 'ascending']]);
          await act(open, 'select[name="currency"]', 'EUR');
          const chosen = await table(open, (shown) => !shown.notes.includes(said));
          assert.deepEqual(chosen.sorted, [['price', 'ascending']]);
        });
        // Every filter of a link stands in its control.
        const mount = published.packs[0].pack_mount;
        const link = {
          find: 'large',
          size: 'large',
          mount,
          longest: '400.5',
          heaviest: '9.5',
          dearest: '9000',
          currency: 'SEK',
        };
        const options = new URLSearchParams({ ...link, sold: 'yes', reaching: 'yes' });
        await withPage(running, `${two}#${options}`, async (open) => {
          await answered(open);
          await table(open, (shown) => shown.state !== '');
          const controls = await open.evaluate((names) => {
            const of = (name) =>
              document.querySelector('job-torque').shadowRoot.querySelector(`.narrow [name="${name}"]`);
            const values = names.map((name) => [name, of(name).value]);
            return { ...Object.fromEntries(values), ticked: [of('sold').checked, of('reaching').checked] };
          }, Object.keys(link));
          assert.deepEqual(controls, { ...link, ticked: [true, true] });
        });
      });

      await t.test('a link may ask for what cannot be: it is said, and the rest is answered', () =>
        withPage(running, at('sort=weight&longest=-5&find=sorrel'), async (open) => {
          await answered(open);
          const faults = await eventually(open, () =>
            globalThis.heard.faults.length > 0 ? globalThis.heard.faults : null,
          );
          const message = faults.map((fault) => fault.message).join(' ');
          assert.match(message, /There is no column "weight" to sort by\./);
          assert.match(message, /A limit is a number above 0\./);
          const now = await table(open, (shown) => shown.state !== '');
          assert.match(now.state, /found by “sorrel”\.$/);
        }),
      );

      await t.test('a word of any length leaves the page as wide as it is', () =>
        withPage(
          running,
          at(`find=${'x'.repeat(2000)}`),
          async (open) => {
            await answered(open);
            await table(open, (shown) => shown.state.startsWith('No pair is left.'));
            const [page, window] = await open.evaluate(() => [
              document.documentElement.scrollWidth,
              document.documentElement.clientWidth,
            ]);
            assert.ok(page <= window, `${page} px`);
          },
          { viewport: { width: 360, height: 640 } },
        ),
      );

      await t.test('fields of one, few, some and many pairs', async () => {
        const shown = async (pairs, hash, is) => {
          const own = await pageOf(String(pairs), fieldOf(pairs));
          return withPage(running, `${own}#job=300 N·m${hash}`, async (open) => {
            await answered(open);
            return table(open, is ?? (() => true));
          });
        };
        const one = await shown(1, '');
        assert.equal(one.there, false);
        const few = await shown(4, '', (now) => now.pairs.length >= 4);
        assert.ok(few.there && !few.narrows && few.all.length === 0);
        for (const place of few.places.slice(0, 4)) assert.match(place, /^place \d of 4, could be \d to \d$/);
        const some = await shown(6, '', (now) => now.pairs.length >= 6);
        assert.ok(some.narrows && some.all.length === 0);
        const part = await shown(60, '', (now) => now.pairs.length >= 5);
        assert.ok(part.pairs.length <= 6, String(part.pairs.length));
        assert.deepEqual(part.all, ['Show all 60 pairs']);
      });

      await t.test(
        'a field of many pairs has a line for each tool; the chosen pair stays in view',
        async () => {
          const field = fieldOf(200);
          const many = await pageOf('200', field);
          const { tool, pack } = field.runs.at(-1);
          const hash = `job=300 N·m&tool=${tool}&pack=${pack}`;
          await withPage(running, `${many}#${hash}`, async (open) => {
            await answered(open);
            const own = new Set(field.runs.filter((run) => run.tool === tool).map((run) => run.pack)).size;
            const now = await table(open, (shown) => shown.pairs.length === field.tools.length + own - 1);
            assert.equal(now.current.length, 1);
            const position = await open.evaluate(() => {
              const root = document.querySelector('job-torque').shadowRoot;
              root.querySelector('.field table').scrollIntoView();
              const box = root.querySelector('tr[aria-current]').getBoundingClientRect();
              return [box.top >= -1, box.bottom <= innerHeight + 1];
            });
            assert.deepEqual(position, [true, true]);
            const before = now.pairs.length;
            await act(open, '[data-tool][aria-expanded="false"]');
            const opened = await table(open, (shown) => shown.pairs.length > before);
            assert.ok(opened.pairs.length <= before + 8);
            await act(open, '.field > button.onwards');
            await table(open, (shown) => shown.pairs.length >= 200);
            if (browser.name === 'Chromium') {
              assert.equal(
                await open.evaluate(() => {
                  const row = document
                    .querySelector('job-torque')
                    .shadowRoot.querySelector('.large tbody tr');
                  return getComputedStyle(row).contentVisibility;
                }),
                'auto',
              );
            }
          });
        },
      );

      await t.test('a row opens by keyboard to all its figures and its runs, and lies over the chart', () =>
        withPage(
          running,
          at('tool=sorrel-18-medium&pack=two-row-8-0'),
          async (open) => {
            await answered(open);
            await table(open, (now) => now.current.length === 1);
            await open.evaluate(() => {
              document.querySelector('job-torque').shadowRoot.querySelector('tbody .more').focus();
            });
            await open.keyboard.press('Enter');
            const below = await eventually(open, () => {
              const below = document.querySelector('job-torque').shadowRoot.querySelector('.below');
              return below?.querySelector('.behind table')
                ? [...below.querySelectorAll('dt')].map((term) => term.textContent)
                : null;
            });
            assert.deepEqual(below.slice(0, 3), ['tries of 100', 'time', 'average power']);
            await act(open, '.below .lay');
            await eventually(open, () => location.hash.includes('beside='));
            await eventually(
              open,
              () =>
                document
                  .querySelector('job-torque')
                  .shadowRoot.querySelector('.below .lay[aria-pressed="true"]') !== null,
            );
            const [width, inner] = await open.evaluate(() => [
              document.documentElement.scrollWidth,
              innerWidth,
            ]);
            assert.ok(width <= inner, `${width} px wide in a window of ${inner}`);
            const columns = await open.evaluate(() => {
              const head = document.querySelector('job-torque').shadowRoot.querySelector('.field thead tr');
              return [...head.cells].filter((cell) => cell.checkVisibility()).map((cell) => cell.dataset.key);
            });
            // A bar to scroll by, as Firefox has here, takes the room of the last.
            const fit = browser.name === 'Chromium' ? 5 : 4;
            assert.deepEqual(
              columns.slice(0, fit),
              ['place', 'pair', 'time', 'nineteen', 'mass'].slice(0, fit),
            );
            // The focus stays where it was, though the table was filled anew.
            await open.keyboard.press('Enter');
            await eventually(
              open,
              () => !document.querySelector('job-torque').shadowRoot.querySelector('.below'),
            );
          },
          { viewport: { width: 360, height: 640 } },
        ),
      );

      for (const width of [360, 768, 1050, 1280]) {
        await t.test(`with the maker's figure it stays within ${width} px`, () =>
          withPage(
            running,
            address,
            async (open) => {
              await answered(open);
              for (const sort of ['-stated', '-peak']) {
                await ask(open, { stated: 'yes', sort });
                const [wide, room] = await eventually(open, () => {
                  const field = document.querySelector('job-torque').shadowRoot.querySelector('.field');
                  const [table, around] = [field.querySelector('table'), field];
                  if (!table.querySelector('[data-key="stated"]')) return null;
                  return [table.getBoundingClientRect().right, around.getBoundingClientRect().right];
                });
                assert.ok(wide <= room + 0.5, `${sort}: ${wide} of ${room} px`);
              }
            },
            { viewport: { width, height: 800 } },
          ),
        );
      }

      await t.test('others that reach it stand in the order picked, or the nearest misses do', () =>
        withPage(running, address, async (open) => {
          await answered(open);
          const list = () => {
            const others = document.querySelector('job-torque').shadowRoot.querySelector('.others');
            const rows = [...others.querySelectorAll('li')].filter((row) => row.checkVisibility());
            return {
              order: others.querySelector('select').value,
              first: rows.map((row) => row.querySelector('.figures').textContent),
              marked: rows.filter((row) => row.querySelector('.unbeaten')).length,
              text: others.textContent,
            };
          };
          const light = await open.evaluate(list);
          assert.equal(light.order, 'lightest');
          assert.equal(light.first.length, 5);
          assert.ok(rises(figures(light.first)) && light.first[0].endsWith('kg') && light.marked > 0);
          await act(open, '.others select', 'quickest');
          await eventually(open, () => {
            const others = document.querySelector('job-torque').shadowRoot.querySelector('.others');
            return others.querySelector('li .figures').textContent.endsWith(' s');
          });
          const quick = await open.evaluate(list);
          assert.ok(rises(figures(quick.first)) && quick.first[0].endsWith(' s'));
          await act(open, '.others button.onwards');
          assert.equal((await open.evaluate(list)).first.length, 28);
          await act(open, 'input[name="heaviest"]', '1');
          await eventually(open, () =>
            document
              .querySelector('job-torque')
              .shadowRoot.querySelector('.others')
              .textContent.includes('Within your limits, no pair has 678 N·m within reach.'),
          );
          const head = await open.evaluate(() => {
            const head = document.querySelector('job-torque').shadowRoot.querySelector('.others .head');
            return [head.querySelector('h2').textContent, head.querySelector('select').checkVisibility()];
          });
          assert.deepEqual(head, ['None reaches it', false], 'no order of what is not there');
        }),
      );

      await t.test('axe finds nothing, narrowed, sorted, opened, long', async () => {
        const before = browser.name === 'Chromium' ? { before: (open) => open.setBypassCSP(true) } : {};
        await withPage(
          running,
          at('sort=-peak&find=sorrel&stated=yes&tool=sorrel-18-medium&pack=slim-4-0'),
          async (open) => {
            await answered(open);
            await table(open, (now) => now.state !== '');
            await act(open, 'tbody .more');
            await holdAgainstAxe(open);
          },
          before,
        );
        const many = await pageOf('200', fieldOf(200));
        await withPage(
          running,
          `${many}#job=300 N·m`,
          async (open) => {
            await answered(open);
            await table(open, (now) => now.pairs.length > 20);
            await act(open, 'tbody .more');
            // The table of runs inside the opened row is laid out and named as its own.
            const inner = await eventually(open, () => {
              const row = document
                .querySelector('job-torque')
                .shadowRoot.querySelector('.below .behind tbody tr');
              return (
                row && [getComputedStyle(row).display, row.closest('table').querySelectorAll('[role]').length]
              );
            });
            assert.deepEqual(inner, ['table-row', 0]);
            const role = await open.evaluate(() =>
              document.querySelector('job-torque').shadowRoot.querySelector('.below').getAttribute('role'),
            );
            assert.equal(role, 'row');
            // What is behind the row answers the question that was asked last.
            const needed = () =>
              document.querySelector('job-torque').shadowRoot.querySelector('.below .needed')?.textContent;
            assert.match(await eventually(open, needed), /300/);
            await holdAgainstAxe(open);
            await ask(open, { job: '301 N·m' });
            for (let tries = 0; !/301/.test(await eventually(open, needed)); tries += 1)
              assert.ok(tries < 200);
          },
          before,
        );
      });
    }),
  );
}
