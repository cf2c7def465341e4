// How many small changes to the script of the page the browser tests notice: `node mutants.mjs COUNT SEED [FILE…]`
// in tests/browser, on a clean checkout, after `cargo build --release`. It draws COUNT places of www/*.js
// (or of these files), changes one at a time, writes the site and runs the tests in Chromium until one fails. The
// changed file is put back each time. Minutes for each that nobody notices.
import { execFile } from 'node:child_process';
import { readdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { parsers } from 'prettier/plugins/acorn';

const root = fileURLToPath(new URL('../..', import.meta.url));
const www = path.join(root, 'www');
const run = promisify(execFile);

/** Longest time of one test file in ms: a page that no longer answers is noticed too. */
const LONGEST_MS = 300_000;

/** What takes the place of an operator. */
const OPERATORS = {
  '===': '!==',
  '!==': '===',
  '<': '<=',
  '<=': '<',
  '>': '>=',
  '>=': '>',
  '+': '-',
  '-': '+',
  '*': '/',
  '/': '*',
  '&&': '||',
  '||': '&&',
  '??': '&&',
};

/**
 * What may be changed at a node: from where to where, and what takes the place.
 * @param {any} node @param {string} text
 */
function changes(node, text) {
  const [start, end] = node.range ?? [node.start, node.end];
  const inside = (part) => text.slice(...(part.range ?? [part.start, part.end]));
  switch (node.type) {
    case 'BinaryExpression':
    case 'LogicalExpression': {
      const other = OPERATORS[node.operator];
      return other ? [[start, end, `(${inside(node.left)} ${other} ${inside(node.right)})`]] : [];
    }
    case 'UnaryExpression':
      return node.operator === '!' ? [[start, end, inside(node.argument)]] : [];
    case 'ConditionalExpression':
      return [
        [start, end, `(${inside(node.test)} ? ${inside(node.alternate)} : ${inside(node.consequent)})`],
      ];
    case 'IfStatement': {
      const [from, to] = node.test.range ?? [node.test.start, node.test.end];
      return [[from, to, `!(${inside(node.test)})`]];
    }
    case 'ExpressionStatement':
      return node.directive ? [] : [[start, end, ';']];
    case 'Literal':
      if (typeof node.value === 'boolean') return [[start, end, String(!node.value)]];
      if (typeof node.value === 'number') return [[start, end, String(node.value + 1)]];
      if (typeof node.value === 'string' && node.value) return [[start, end, "''"]];
      return [];
    default:
      return [];
  }
}

/** Every change to a file. @param {string} name @param {string} text */
function* changesOf(name, text) {
  const waiting = [parsers.acorn.parse(text, {})];
  while (waiting.length > 0) {
    const node = waiting.pop();
    if (!node || typeof node !== 'object') continue;
    if (Array.isArray(node)) {
      waiting.push(...node);
      continue;
    }
    if (['ImportDeclaration', 'ExportAllDeclaration'].includes(node.type)) continue;
    if (typeof node.type === 'string') {
      for (const [start, end, instead] of changes(node, text)) yield { name, start, end, instead };
    }
    for (const [key, part] of Object.entries(node)) {
      // The name of a property is no text.
      if (key === 'comments' || key === 'tokens' || key === 'range' || key === 'loc') continue;
      if (key === 'key' && node.computed !== true) continue;
      waiting.push(part);
    }
  }
}

/** Numbers from 0 to 1 that a seed gives (the generator of Park and Miller, 1988). @param {number} seed */
function* drawn(seed) {
  for (let state = (seed % 2_147_483_646) + 1; ; state = (state * 48_271) % 2_147_483_647) {
    yield state / 2_147_483_647;
  }
}

/** Tests of a module that go by another name. @type {Record<string, string[]>} */
const TESTS = {
  'begun.js': ['asleep', 'finished'],
  'embed.js': ['asleep', 'finished'],
  'engine.js': ['loading', 'embed'],
  'answering.js': ['embed', 'links', 'loading', 'first'],
  'element.js': ['embed', 'links'],
  'whole.js': ['first'],
  'load.js': ['loading', 'embed'],
  'mark.js': ['table'],
  'save.js': ['saved'],
  'share.js': ['take'],
};

/** The tests of a module first. @param {string[]} tests @param {string} name */
function ordered(tests, name) {
  const stems = [name.split(/[-.]/)[0], ...(TESTS[name] ?? [])];
  const early = ['words', 'form', 'page', 'table', 'chart', 'compare', 'runs', 'states', 'links', 'take'];
  const at = (test) => {
    const [stem] = test.split('.');
    if (stems.includes(stem)) return -1;
    return early.includes(stem) ? early.indexOf(stem) : early.length;
  };
  return [...tests].sort((a, b) => at(a) - at(b));
}

/** The first test file that fails; nothing if all pass. @param {string[]} tests */
async function firstRed(tests) {
  for (const test of tests) {
    const options = { cwd: path.join(root, 'tests/browser'), timeout: LONGEST_MS, maxBuffer: 1 << 26 };
    const env = { ...process.env, ONLY_BROWSER: 'Chromium' };
    try {
      await run('node', ['--test', test], { ...options, env });
    } catch {
      return test;
    }
  }
  return null;
}

const site = () =>
  run(path.join(root, 'target/release/jobtorque'), ['page', '--out', path.join(root, 'target/site-tested')]);

const [count = '20', seed = '1', ...only] = process.argv.slice(2);
const names = (await readdir(www)).filter(
  (name) => name.endsWith('.js') && (only.length === 0 || only.includes(name)),
);
const all = [];
for (const name of names) all.push(...changesOf(name, await readFile(path.join(www, name), 'utf8')));
const numbers = drawn(Number(seed));
const sample = Array.from(
  { length: Math.min(Number(count), all.length) },
  () => all.splice(Math.floor(numbers.next().value * all.length), 1)[0],
);
const tests = (await readdir('.')).filter((name) => name.endsWith('.test.mjs'));
console.log(`${sample.length} of ${sample.length + all.length} changes, seed ${seed}`);

await site();
const before = await firstRed(tests.toSorted());
if (before) throw new Error(`${before} fails without any change`);
let caught = 0;
let unfit = 0;
for (const { name, start, end, instead } of sample) {
  const file = path.join(www, name);
  const text = await readFile(file, 'utf8');
  const line = text.slice(0, start).split('\n').length;
  const brief = (part) => JSON.stringify(part.replaceAll(/\s+/g, ' ').slice(0, 70));
  const said = `${name}:${line} ${brief(text.slice(start, end))} as ${brief(instead)}`;
  try {
    await writeFile(file, text.slice(0, start) + instead + text.slice(end));
    let red = null;
    try {
      await site();
      red = await firstRed(ordered(tests, name));
    } catch {
      unfit += 1;
      console.log(`cannot be built: ${said}`);
      continue;
    }
    caught += red ? 1 : 0;
    console.log(`${red ? `caught by ${red}` : 'NOT CAUGHT'}: ${said}`);
  } finally {
    await writeFile(file, text);
  }
}
await site();
console.log(`${caught} of ${sample.length - unfit} caught, ${unfit} could not be built`);
