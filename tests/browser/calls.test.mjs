// How often script calls the module: once for a question, once to draw, and once each for the lists and the places by
// torque that come after them.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  countCalls,
  eventually,
  listed,
  onTheCommandLine,
  pageAddress,
  site,
  withBrowser,
  withPage,
} from './harness.mjs';

const PAIR = 'tool=sorrel-18-medium&pack=two-row-8-0';
const BESIDE = `${PAIR}&beside=${encodeURIComponent('teasel-18-large/two-row-8-0')}`;

/** The calls since the last time, once nothing more is put off until after a frame. */
const calls = (page) =>
  page.evaluate(async () => {
    for (let turn = 0; turn < 3; turn += 1) {
      await new Promise((resolve) => requestAnimationFrame(() => setTimeout(() => setTimeout(resolve))));
    }
    return globalThis.calls.splice(0);
  });

/** Asks for another torque and gives what was called until the answer stood. */
const callsUntilAnswered = (page, job) =>
  page.evaluate(async (wanted) => {
    const element = document.querySelector('job-torque');
    const heard = new Promise((resolve) => element.addEventListener('answer', resolve, { once: true }));
    element.setAttribute('job', wanted);
    await heard;
    return globalThis.calls.splice(0);
  }, job);

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (fragment, use) =>
        withPage(running, `${pageAddress(site)}#${fragment}`, use, { before: countCalls });

      for (const [name, fragment] of [
        ['a pair', PAIR],
        ['a pair with another beside it', BESIDE],
        ['a tool', 'tool=sorrel-18-medium'],
        ['any pair', 'tool='],
      ]) {
        await t.test(`a new torque for ${name} is one call for the answer and one to draw`, () =>
          look(fragment, async (page) => {
            await answered(page);
            await calls(page);
            assert.deepEqual(await callsUntilAnswered(page, '217 N·m'), ['ask', 'draw']);
            assert.deepEqual(await calls(page), ['lists', 'draw_places']);
          }),
        );
      }

      await t.test('a torque that is typed and entered takes as many', () =>
        look(PAIR, async (page) => {
          await answered(page);
          await page.click('>>> [name="job"]', { clickCount: 3 });
          await page.keyboard.type('217 N·m');
          await calls(page);
          await page.keyboard.press('Enter');
          await eventually(page, () => globalThis.heard.answer.job_torque_nm === 217);
          assert.deepEqual(await calls(page), ['ask', 'draw', 'lists', 'draw_places']);
        }),
      );

      await t.test('where it is compact there are no lists', () =>
        look(PAIR, async (page) => {
          await answered(page);
          await page.evaluate(() => document.querySelector('job-torque').setAttribute('compact', ''));
          await calls(page);
          assert.deepEqual(await callsUntilAnswered(page, '217 N·m'), ['ask', 'draw']);
          assert.deepEqual(await calls(page), []);
        }),
      );

      await t.test('what is told of a question has no list; the element gives it to who asks', () =>
        look('tool=sorrel-18-medium', async (page) => {
          await answered(page);
          const { detail } = await ask(page, { job: '400 N·m' });
          assert.ok(!('list' in detail));
          const tool = ['--tool', 'sorrel-18-medium', '--job', '400 N·m'];
          const { list, of, reach_count } = JSON.parse(await onTheCommandLine('ask', '--json', ...tool));
          assert.deepEqual([detail.of, detail.reach_count], [of, reach_count]);
          assert.ok(of > 1 && list.length >= of);
          assert.deepEqual(
            await listed(page),
            list.map(({ list: none, ...one }) => (assert.equal(none, null), one)),
          );
          await ask(page, { pack: 'two-row-8-0' });
          assert.equal(await listed(page), null);
        }),
      );
    }),
  );
}
