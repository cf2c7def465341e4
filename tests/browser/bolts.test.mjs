// A bolt typed into the job's blank gives what the command line gives, value for value; what is wrong with
// one is said of the bolt, and the last answer stays.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answerOfCommand,
  answered,
  browsers,
  eventually,
  listed,
  pageAddress,
  onTheCommandLine,
  site,
  withBrowser,
  withPage,
} from './harness.mjs';

const BOLTS = [
  'M20 10.9',
  '1/2-13 grade 8',
  'M22x1.5 8.8 oiled',
  'm12 × 1,25 10,9 μ 0,12',
  '3/4 UNF grade 5 K 0.18 70 %',
];

/** Types over what stands in the job's blank. */
async function type(page, text) {
  await page.evaluate(() => {
    const blank = document.querySelector('job-torque').shadowRoot.querySelector('input[name="job"]');
    blank.focus();
    blank.select();
  });
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
}

for (const browser of browsers) {
  test(`${browser.name} works a bolt out like the command line`, { timeout: 300_000 }, () =>
    withBrowser(browser, (running) =>
      withPage(running, pageAddress(site), async (page) => {
        await answered(page);
        let thread = null;
        for (const bolt of BOLTS) {
          await type(page, bolt);
          const answer = await eventually(
            page,
            (before) => {
              const { answer } = globalThis.heard;
              return answer.bolt && answer.bolt.thread !== before ? answer : null;
            },
            thread,
          );
          thread = answer.bolt.thread;
          const stdout = await onTheCommandLine('ask', '--json', '--job', bolt, `--${answer.direction}`);
          assert.deepStrictEqual({ ...answer, list: await listed(page) }, answerOfCommand(stdout), bolt);
        }
        await type(page, 'M20');
        const fault = await eventually(page, () => globalThis.heard.faults.at(-1));
        assert.match(fault.message, /^Which class or grade\? /);
        const kept = await page.evaluate(() => globalThis.heard.answer.bolt.thread);
        assert.equal(kept, thread);
      }),
    ),
  );
}
