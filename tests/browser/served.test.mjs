// The site as the program serves it: the results page, and a blog post with the element among its prose.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import test from 'node:test';
import { answered, browsers, eventually, listed, program, wake, withBrowser, withPage } from './harness.mjs';

/** Starts the program's own server and gives its address to `use`. */
async function served(use) {
  const server = spawn(program, ['serve', '--port', '0'], { stdio: ['ignore', 'pipe', 'inherit'] });
  try {
    const [first] = await once(server.stdout, 'data');
    const [address] = String(first).match(/http:\/\/127\.0\.0\.1:\d+\//);
    return await use(address);
  } finally {
    server.kill();
  }
}

for (const browser of browsers) {
  test(`${browser.name} shows what is served`, { timeout: 300_000 }, () =>
    served((address) =>
      withBrowser(browser, async (running) => {
        await withPage(running, address, async (page) => {
          const answer = await answered(page);
          assert.equal(answer.basis, 'none');
          // The measured pairs, then those nobody ran.
          const bases = (await listed(page)).map(({ basis }) => basis);
          assert.equal(bases.lastIndexOf('measured') + 1, answer.of);
          assert.ok(bases.slice(answer.of).every((basis) => basis === 'estimate'));
        });
        await withPage(running, `${address}post.html`, async (page) => {
          await wake(page);
          const answer = await answered(page);
          const shown = await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            const text = (part) => root?.querySelector(`[part~="${part}"]`)?.textContent.trim();
            return text('headline')
              ? [text('notice'), text('headline'), root.querySelector('canvas').width]
              : null;
          });
          assert.equal(shown[0], 'Invented data. These tools do not exist.');
          assert.equal(shown[1], answer.headline);
          assert.ok(shown[2] > 300, 'the chart is drawn');
        });
      }),
    ),
  );
}
