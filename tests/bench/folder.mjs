// What a bench folder of 150 logs of 61,000 samples costs: times of commands over that of a plain pass of the csv crate
// over the same bytes, on one core. The page's code is compiled before; `page` still asks cargo whether it is fresh, and
// what that and the rest of the site cost is told by the same season at 100 samples a second.
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { readFile, rm } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { median } from './median.mjs';

const TURNS = 5;

const plain = 'plain pass';

const root = fileURLToPath(new URL('../..', import.meta.url));
const target = path.join(root, 'target');
const work = path.join(target, 'long-logs');
const cache = path.join(work, 'cache');
const run = promisify(execFile);

/** Seconds and ratios, each the middle of several taken in turns. */
export async function folder() {
  await run('cargo', ['build', '--release', '--locked'], { cwd: root });
  await run('cargo', ['build', '--release', '--locked', '--example', 'long-logs'], { cwd: root });
  const logs = path.join(target, 'release/examples/long-logs');
  const [long, short] = [path.join(work, 'bench'), path.join(work, 'short')];
  await rm(work, { recursive: true, force: true });
  await run(logs, ['make', long, '10000']);
  await run(logs, ['make', short, '100']);
  /* Seconds by the clock and of the processors. */
  const timed = async (kept, program, ...given) => {
    const { stderr } = await run(
      'bash',
      ['-c', 'TIMEFORMAT="%R %U %S"; time "$@" >/dev/null', '-', program, ...given],
      {
        env: { ...process.env, LC_ALL: 'C', JOBTORQUE_CACHE: kept ? cache : '' },
        maxBuffer: 1 << 26,
      },
    );
    const [clock, user, system] = stderr.trim().split('\n').at(-1).split(' ').map(Number);
    return { clock, processors: user + system };
  };
  const jobtorque = (kept, ...given) => timed(kept, path.join(target, 'release/jobtorque'), ...given);
  const site = path.join(work, 'site');
  const page = (kept, of) => jobtorque(kept, 'page', of, '--out', site);
  const published = () => readFile(path.join(site, 'results.json'), 'utf8');
  const empty = () => rm(cache, { recursive: true, force: true });
  const change = (turn) => run(logs, ['change', long, String(turn)]);
  // Whatever is to be compiled is compiled now.
  await page(false, short);

  const taken = {};
  const note = (name, seconds) => (taken[name] ??= []).push(seconds);
  for (let turn = 0; turn < TURNS; turn += 1) {
    note(plain, await timed(false, logs, 'pass', long));
    note('check', await jobtorque(true, 'check', long));
    await empty();
    note('rank, nothing kept', await jobtorque(true, 'rank', long));
    await change(turn);
    note('rank, one log changed', await jobtorque(true, 'rank', long));
    await empty();
    note('page, nothing kept', await page(true, long));
    await change(TURNS + turn);
    note('page, one log changed', await page(true, long));
    const kept = await published();
    await page(false, long);
    assert.equal(kept, await published());
    note('page at 100 samples a second', await page(false, short));
  }
  const rows = {};
  const middle = (name, which) => median(taken[name].map((seconds) => seconds[which]));
  for (const name of Object.keys(taken)) {
    const ratio = (which) => (middle(name, which) / middle(plain, which)).toFixed(2);
    rows[name] = {
      'by the clock, s': middle(name, 'clock').toFixed(2),
      'over the pass': ratio('clock'),
      'of processors, s': middle(name, 'processors').toFixed(2),
      'of these over the pass': ratio('processors'),
    };
  }
  return rows;
}
