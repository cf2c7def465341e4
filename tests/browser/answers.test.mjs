// The page and the command line give the same answers, value for value: 500 random questions in each browser.
// This tests the boundary, not the formulas: both run the same core.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answerOfCommand,
  answered,
  ask,
  browsers,
  listed,
  pageAddress,
  onTheCommandLine,
  site,
  withBrowser,
  withPage,
  publishedData,
} from './harness.mjs';
import { byTwos, job, options, random } from './questions.mjs';

const QUESTIONS = 500;

const data = await publishedData();
const drawn = random(20260302);
const asked = Array.from({ length: QUESTIONS }, () => ({
  ...job(drawn, data),
  tool: drawn.maybe(0.7, () => drawn.pick(data.tools).id),
  pack: drawn.maybe(0.7, () => drawn.pick(data.packs).id),
}));

async function expectedAnswer(question) {
  try {
    return answerOfCommand(await onTheCommandLine('ask', '--json', ...options(question)));
  } catch (error) {
    assert.equal(error.code, 2, error.stderr);
    return null;
  }
}

const expected = await byTwos(asked, expectedAnswer);

test('the questions reach every kind of answer', () => {
  const answers = expected.filter((answer) => answer !== null);
  assert.ok(answers.length > 0.9 * QUESTIONS);
  assert.ok(answers.some((answer) => answer.list !== null && answer.tool !== null));
  assert.ok(answers.some((answer) => answer.list !== null && answer.tool === null));
  assert.ok(answers.some((answer) => answer.basis === 'none' && answer.fits === false));
  assert.ok(answers.some((answer) => answer.basis === 'none' && answer.fits === true));
  assert.ok(answers.some((answer) => answer.basis === 'measured' && answer.time_to_job_s === null));
  assert.ok(answers.some((answer) => answer.basis === 'measured' && answer.time_to_job_s > 0));
});

for (const browser of browsers) {
  test(`${browser.name} answers like the command line`, { timeout: 600_000 }, () =>
    withBrowser(browser, (running) =>
      withPage(running, pageAddress(site), async (page) => {
        await answered(page);
        for (const [number, question] of asked.entries()) {
          const { kind, detail } = await ask(page, question);
          assert.equal(kind, expected[number] === null ? 'fault' : 'answer', JSON.stringify(question));
          if (kind === 'answer') {
            const whole = { ...detail, list: await listed(page) };
            assert.deepStrictEqual(whole, expected[number], JSON.stringify(question));
          }
        }
      }),
    ),
  );
}
