// The page of a bench folder that `serve` watches: it loads again when a file is saved, keeps its question, and says
// what is wrong with a file.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { answered, ask, browsers, eventually, program, withBrowser, withPage } from './harness.mjs';

const orchard = new URL('../folder/orchard', import.meta.url);

/** Serves a copy of the sample folder; gives `use` the address and a function that edits a file of the copy. */
async function serving(use) {
  const folder = await mkdtemp(path.join(tmpdir(), 'live-'));
  await cp(orchard, folder, { recursive: true });
  const edit = async (name, from, to) => {
    const file = path.join(folder, name);
    const text = await readFile(file, 'utf8');
    assert.ok(text.includes(from), `${name} holds ${from}`);
    await writeFile(file, text.replace(from, to));
  };
  const server = spawn(program, ['serve', folder, '--port', '0'], { stdio: ['ignore', 'pipe', 'ignore'] });
  try {
    const [first] = await once(server.stdout, 'data');
    const [address] = String(first).match(/http:\/\/127\.0\.0\.1:\d+\//);
    return await use(address, edit);
  } finally {
    server.kill();
    await rm(folder, { recursive: true });
  }
}

/** What `eventually` sees, though the page may load again while it is looked at. */
async function meanwhile(page, look, ...given) {
  for (;;) {
    try {
      return await eventually(page, look, ...given);
    } catch (error) {
      if (!/context|navigat|detached|destroyed/i.test(error.message)) throw error;
    }
  }
}

for (const browser of browsers) {
  test(`${browser.name} shows a saved change by itself`, { timeout: 300_000 }, () =>
    serving((address, edit) =>
      withBrowser(browser, (running) =>
        withPage(running, `${address}#job=123%20N%C2%B7m`, async (page) => {
          const before = await answered(page);
          assert.match(before.headline, /123 N·m/);
          await edit('bench.toml', 'title = "', 'title = "Saved again: ');
          await meanwhile(page, () => document.querySelector('h1')?.textContent.startsWith('Saved again: '));
          const after = await answered(page);
          assert.equal(after.headline, before.headline);
          assert.match(await page.evaluate(() => location.hash), /job=123/);

          await edit('tools.csv', 'rook-18;', 'rook-18;;');
          const banner = await meanwhile(page, () => document.querySelector('[role="alert"]')?.innerText);
          assert.match(banner, /^This page stays as it was, because of:\n/);
          assert.match(banner, /tools\.csv:\d+/);
          // The last good page still answers.
          const other = await ask(page, { job: '124 N·m' });
          assert.equal(other.kind, 'answer');
          assert.match(other.detail.headline, /124 N·m/);
          assert.equal((await ask(page, { job: '123 N·m' })).detail.headline, before.headline);

          await edit('tools.csv', 'rook-18;;', 'rook-18;');
          await meanwhile(page, () => !document.querySelector('[role="alert"]'));
          assert.equal((await answered(page)).headline, before.headline);
        }),
      ),
    ),
  );
}
