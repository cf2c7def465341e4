// Pairs side by side, packs on a tool, what else reaches a job, and bolts: 300 random questions of each kind, in each
// browser, give what the command line gives. Of a bolt every value is held; of the rest every printed figure.
// This tests the boundary, not the formulas: both run the same core.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  answerOfCommand,
  answered,
  browsers,
  onTheCommandLine,
  withBrowser,
  withPage,
  withSite,
  publishedData,
} from './harness.mjs';
import { byTwos, job, options, random } from './questions.mjs';

const QUESTIONS = 300;

const data = await publishedData();
const drawn = random(20260717);
const { next, pick, maybe } = drawn;
const pairs = [...new Set(data.runs.map(({ tool, pack }) => `${tool} ${pack}`))].map((pair) =>
  pair.split(' '),
);
const drawnOften = (draw) => Array.from({ length: QUESTIONS }, draw);

const compared = drawnOften(() => {
  const [[tool, pack], [withTool, withPack]] = [pick(pairs), pick(pairs)];
  return { ...job(drawn, data), tool, pack, 'with-tool': withTool, 'with-pack': withPack };
});
const packs = drawnOften(() => {
  const [tool, pack] = pick(pairs);
  return { ...job(drawn, data), tool, pack: next() < 0.5 ? pack : null };
});
const chosen = drawnOften(() => ({
  ...job(drawn, data),
  by: pick(['lightest', 'shortest', 'least-costly', 'quickest']),
  longest: maybe(0.2, () => String(140 + Math.round(next() * 100))),
  heaviest: maybe(0.2, () => (1.5 + next() * 4).toFixed(1)),
  dearest: maybe(0.2, () => String(100 + Math.round(next() * 600))),
}));
const bolts = drawnOften(() => {
  const metric = next() < 0.6;
  const thread = metric
    ? pick(['M6', 'M8', 'M10', 'M12', 'M14 x 1,5', 'M16', 'M18x1.5', 'M20', 'm22×1.5', 'M24', 'M27', 'M30x2'])
    : pick(['1/4-20', '3/8 UNC', '1/2-13', '1/2 UNF', '5/8', '3/4-10', '3/4 UNF', '7/8-9', '1 in UNC']);
  const strength = metric ? pick(['8.8', '10.9', '12.9', '5.6']) : pick(['grade 2', 'grade 5', 'grade 8']);
  const finish = pick(['', '', 'dry', 'oiled', 'zinc plated', 'μ 0.12', 'K 0.18', 'k 0,15']);
  const share = pick(['', '', '70 %', '85 % yield']);
  const direction = pick(['loosen', 'tighten']);
  return {
    ...job(drawn, data),
    job: [thread, strength, finish, share].filter(Boolean).join(' '),
    direction,
    condition: direction === 'loosen' ? maybe(0.3, () => (1 + 2 * next()).toFixed(2)) : null,
    tool: maybe(0.7, () => pick(data.tools).id),
    pack: maybe(0.7, () => pick(data.packs).id),
  };
});

/** What a call prints; null where it says that the question is wrong. */
async function printed(...given) {
  try {
    return await onTheCommandLine(...given);
  } catch (error) {
    assert.equal(error.code, 2, error.stderr);
    return null;
  }
}

/** A value that the command line gives as JSON. */
const valueOf = (command, part) => async (question) => {
  const text = await printed(command, '--json', ...options(question));
  return text && part(JSON.parse(text));
};

/** Rows of a list as printed: each in a line of its own, figures apart by two spaces or more. */
const rowsOf = (text) =>
  text
    .split('\n')
    .filter((line) => /\S {2,}\S/.test(line))
    .map((line) => line.trim().split(/ {2,}/));

/** The module's own question of one of the command line. */
const NUMBERS = { condition: 'condition', loss: 'loss_percent', within: 'within_s', edition: 'edition' };
function questionOf({ by, longest, heaviest, dearest, 'with-tool': tool, 'with-pack': pack, ...rest }) {
  const asked = {};
  for (const [name, value] of Object.entries(rest)) {
    if (value !== null) asked[NUMBERS[name] ?? name] = name in NUMBERS ? Number(value) : value;
  }
  if (tool) asked.beside = [{ tool, pack }];
  if (by) asked.order = by;
  const limits = { longest_mm: longest, heaviest_kg: heaviest, dearest };
  const narrow = Object.entries(limits).filter(([, limit]) => limit);
  if (narrow.length) asked.narrow = Object.fromEntries(narrow.map(([name, limit]) => [name, Number(limit)]));
  return asked;
}

/** Asks the module that the page itself runs, one question after another, for a `part` of what it tells. */
const ask = (page, part, questions) =>
  page.evaluate(
    async (part, questions) => {
      const { Jobtorque, resultsIn } = await import('./job-torque.js');
      const results = resultsIn(await (await fetch('results.txt')).text());
      const module = new Jobtorque(results, await (await fetch('texts.json')).json());
      const told = {
        answer: (question) => ({ ...module.ask(question, false).answer, ...module.list(question) }),
        panels: (question) => module.ask(question, true).panels,
        choices: (question) => module.lists(question).choices,
      };
      return questions.map((question) => {
        try {
          return told[part](question);
        } catch (fault) {
          if (fault instanceof Error) throw fault;
          return null;
        }
      });
    },
    part,
    questions.map(questionOf),
  );

const wordsOf = (value) => value?.words ?? null;
const KINDS = [
  {
    name: 'pairs side by side',
    part: 'panels',
    questions: compared,
    expected: await byTwos(compared, valueOf('compare', wordsOf)),
    // Who is asked to compare a pair with itself is told so on the command line; a page shows nothing.
    heard: (panels) => panels?.beside[0] ?? null,
  },
  {
    name: 'packs on a tool',
    part: 'panels',
    questions: packs,
    expected: await byTwos(packs, valueOf('packs', wordsOf)),
    heard: (panels) => panels?.packs ?? null,
  },
  {
    name: 'what reaches a job',
    part: 'choices',
    questions: chosen,
    expected: (await byTwos(chosen, (question) => printed('choices', ...options(question)))).map(
      (text) => text && rowsOf(text),
    ),
    heard: (choices) =>
      choices && choices.rows.map(({ marked, name, cells }) => [`${marked ? '* ' : ''}${name}`, ...cells]),
  },
  {
    name: 'bolts',
    part: 'answer',
    questions: bolts,
    expected: await byTwos(bolts, async (question) => {
      const text = await printed('ask', '--json', ...options(question));
      return text && answerOfCommand(text);
    }),
    heard: (answer) => answer,
  },
];

for (const { name, expected } of KINDS) {
  test(`most questions have an answer: ${name}`, () => {
    const answers = expected.filter((answer) => answer !== null);
    assert.ok(answers.length > 0.7 * QUESTIONS, `${answers.length}`);
    assert.ok(new Set(answers.map((answer) => JSON.stringify(answer))).size > 0.05 * QUESTIONS);
  });
}

for (const browser of browsers) {
  test(`${browser.name} gives what the command line gives`, { timeout: 600_000 }, (t) =>
    withSite({}, (address) =>
      withBrowser(browser, (running) =>
        withPage(running, `${address}started.html`, async (page) => {
          await answered(page);
          for (const { name, part, questions, expected, heard } of KINDS) {
            await t.test(name, async () => {
              const given = (await ask(page, part, questions)).map(heard);
              for (const [number, question] of questions.entries()) {
                assert.deepStrictEqual(given[number], expected[number], JSON.stringify(question));
              }
            });
          }
        }),
      ),
    ),
  );
}
