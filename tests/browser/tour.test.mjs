// The tester's tour of README: every command of it, as it stands there, from an empty folder to a page that answers.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm, symlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { answered, browsers, program, site, withBrowser, withPage } from './harness.mjs';

const root = path.join(import.meta.dirname, '../..');

/** The commands of the tour. */
async function commands() {
  const readme = await readFile(path.join(root, 'README.md'), 'utf8');
  const block = readme.split('## For who runs a test bench')[1].match(/```console\n([\s\S]*?)```/)[1];
  return block
    .trim()
    .split('\n')
    .map((line) => line.replace(/^\$ /, ''));
}

/** Runs a command in `folder`; one that serves is stopped once it does. */
async function run(command, folder) {
  const env = { ...process.env, PATH: `${path.dirname(program)}:${process.env.PATH}` };
  const child = spawn('bash', ['-c', `exec ${command}`], { cwd: folder, env });
  let said = '';
  let stopped = false;
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (text) => {
      said += text;
      if (said.includes('Serving on ')) stopped = child.kill();
    });
  }
  const [code] = await once(child, 'close');
  assert.ok(stopped || code === 0, `${command}\n${said}`);
  return said;
}

test('the tour of README ends with the demo as a page', { timeout: 600_000 }, async () => {
  const folder = await mkdtemp(path.join(tmpdir(), 'tour-'));
  try {
    await symlink(path.join(root, 'data'), path.join(folder, 'data'));
    const said = {};
    const all = await commands();
    assert.equal(all.length, 10);
    for (const command of all) said[command.split(' ').slice(0, 2).join(' ')] = await run(command, folder);
    assert.match(said['jobtorque gather'], /Added 165 rows/);
    assert.match(said['jobtorque check'], /165 runs/);
    assert.match(said['jobtorque serve'], /Serving on /);
    await withBrowser(browsers[0], async (running) => {
      const headline = (page) =>
        withPage(
          running,
          `file://${page}/index.html#job=123%20N%C2%B7m`,
          async (page) => (await answered(page)).headline,
        );
      assert.equal(await headline(path.join(folder, 'site')), await headline(site));
    });
  } finally {
    await rm(folder, { recursive: true });
  }
});
