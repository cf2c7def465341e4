// The page and the command line give the same answers, value for value: 500 random questions in each browser.
// This tests the boundary, not the formulas: both run the same core.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import test from 'node:test';
import {
  answered,
  ask,
  browsers,
  pageAddress,
  onTheCommandLine,
  site,
  withBrowser,
  withPage,
} from './harness.mjs';

const QUESTIONS = 500;

/** A small seeded generator (mulberry32), so that every run asks the same questions. */
function random(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

function questions(data) {
  const next = random(20260302);
  const pick = (list) => list[Math.floor(next() * list.length)];
  const maybe = (chance, value) => (next() < chance ? value() : null);
  const torque = () => {
    const newtonMetres = Math.exp(Math.log(20) + next() * Math.log(100));
    return next() < 0.5 ? `${newtonMetres.toFixed(2)} N·m` : `${(newtonMetres / 1.356).toFixed(1)} lbf·ft`;
  };
  return Array.from({ length: QUESTIONS }, () => {
    const job = next() < 0.3 ? pick(data.jobs).id : torque();
    const direction = maybe(0.3, () => pick(['loosen', 'tighten']));
    const loosening =
      (direction ?? data.jobs.find(({ id }) => id === job)?.direction ?? 'loosen') === 'loosen';
    return {
      job,
      direction,
      tool: maybe(0.7, () => pick(data.tools).id),
      pack: maybe(0.7, () => pick(data.packs).id),
      condition: loosening ? maybe(0.3, () => String(1 + Math.round(next() * 200) / 100)) : null,
      loss: maybe(0.2, () => String(Math.round(next() * 300) / 10)),
      within: maybe(0.2, () => String(Math.round(1 + next() * 490) / 100)),
      score: maybe(0.3, () => pick(['typical', 'best-of-three'])),
      setup: maybe(0.2, () => pick(data.setups).id),
      edition: maybe(0.3, () => String(pick(data.editions).edition)),
      units: maybe(0.3, () => pick(['n-m', 'lbf-ft'])),
    };
  });
}

/** The same question as options of the command line. */
function options(question) {
  const given = Object.entries(question).filter(([, value]) => value !== null);
  return given.flatMap(([name, value]) => (name === 'direction' ? [`--${value}`] : [`--${name}`, value]));
}

async function expectedAnswer(question) {
  try {
    return JSON.parse(await onTheCommandLine('ask', '--json', ...options(question)));
  } catch (error) {
    assert.equal(error.code, 2, error.stderr);
    return null;
  }
}

const data = JSON.parse(await readFile(path.join(site, 'results.json'), 'utf8'));
const asked = questions(data);
const expected = [];
for (let from = 0; from < asked.length; from += 2) {
  expected.push(...(await Promise.all(asked.slice(from, from + 2).map(expectedAnswer))));
}

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
            assert.deepStrictEqual(detail, expected[number], JSON.stringify(question));
          }
        }
      }),
    ),
  );
}
