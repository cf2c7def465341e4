// The saved file: the page gives itself away byte for byte, with what was chosen, as often as one likes.
import assert from 'node:assert/strict';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { pathToFileURL } from 'node:url';
import { keepDownloads, offered, press } from './downloads.mjs';
import {
  answered,
  browsers,
  eventually,
  pageAddress,
  site,
  unoptimisedSite,
  withBrowser,
  withPage,
} from './harness.mjs';

const HTML_START = '<!DOCTYPE html>';

/** Saves the page as it stands. */
async function saved(page) {
  await press(page, 'take.page');
  return offered(page);
}

/** Waits for an answer of the visitor's choice. */
async function choose(page, name, value) {
  const before = await page.evaluate(() => globalThis.heard.answers);
  await page.evaluate(
    (name, value) => {
      const control = document.querySelector('job-torque').shadowRoot.querySelector(`[name="${name}"]`);
      control.value = value;
      for (const happens of ['input', 'change', 'blur'])
        control.dispatchEvent(new Event(happens, { bubbles: true }));
    },
    name,
    value,
  );
  await eventually(page, (before) => globalThis.heard.answers > before, before);
}

const shadowText = (page, selector) =>
  page.evaluate(
    (selector) =>
      document.querySelector('job-torque').shadowRoot.querySelector(selector)?.textContent ?? null,
    selector,
  );

const today = (page) =>
  page.evaluate(() => {
    const now = new Date();
    const two = (number) => String(number).padStart(2, '0');
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  });

const file = await readFile(path.join(site, 'index.html'), 'utf8');

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, async (t) => {
    const folder = await mkdtemp(path.join(tmpdir(), 'saved-'));
    const kept = async (name, text) => {
      await writeFile(path.join(folder, name), text);
      return pathToFileURL(path.join(folder, name)).href;
    };
    const look = (address, use, more) =>
      withBrowser(browser, (running) => withPage(running, address, use, { before: keepDownloads, ...more }));
    try {
      await t.test('the untouched page is its file, byte for byte', () =>
        look(pageAddress(site), async (page) => {
          await answered(page);
          const text = await page.evaluate(() => document.documentElement.outerHTML);
          assert.ok(HTML_START + text === file, 'the page is not written as the browser writes it');
        }),
      );

      /** The page saved at its own question: everything below is held against it. */
      let plain = '';
      await t.test('a page saved at its own question is the file, with the day of the copy', () =>
        look(pageAddress(site), async (page) => {
          await answered(page);
          const copy = await saved(page);
          const day = await today(page);
          assert.match(copy.name, /^[a-z0-9-]+\.html$/);
          const withoutDay = copy.text
            .replace(`<job-torque fragment="" saved="${day}">`, '<job-torque fragment="">')
            .replace(/<p class="copy" slot="copy">This is a copy saved on [^<]*\.<\/p>\n/, '');
          assert.ok(withoutDay === file, 'more differs than the day');
          plain = copy.text;
        }),
      );

      const address = await kept('plain.html', plain);
      await t.test('saving the copy gives the same bytes, on any day', () =>
        look(address, async (page) => {
          await answered(page);
          assert.ok((await saved(page)).text === plain);
        }),
      );
      const old = plain
        .replace(/ saved="[^"]*"/, ' saved="2026-03-02"')
        .replace(/copy saved on [^<]*\./, 'copy saved on 2 March 2026.');
      const oldAddress = await kept('old.html', old);
      await t.test('a copy says its day, and keeps it while nothing changes', () =>
        look(oldAddress, async (page) => {
          await answered(page);
          const shown = await page.evaluate(() => {
            const slot = document.querySelector('job-torque').shadowRoot.querySelector('slot[name="copy"]');
            return slot.assignedElements().map((element) => [element.textContent, element.offsetHeight > 0]);
          });
          assert.deepEqual(shown, [['This is a copy saved on 2 March 2026.', true]]);
          assert.ok((await saved(page)).text === old);
          await choose(page, 'tool', 'sorrel-18-medium');
          const changed = await saved(page);
          assert.ok(changed.text.includes(` saved="${await today(page)}"`));
          assert.ok(!changed.text.includes('2 March 2026.</p>\n<p class="copy"'));
          await choose(page, 'tool', '');
          assert.ok((await saved(page)).text === old, 'and back again');
        }),
      );

      await t.test('a page of plain modules gives itself away too', async () => {
        let copy = { text: '', name: '' };
        await look(pageAddress(unoptimisedSite), async (page) => {
          await answered(page);
          copy = await saved(page);
        });
        await look(await kept('modules.html', copy.text), async (page) => {
          assert.equal((await answered(page)).basis, 'none');
          assert.ok((await saved(page)).text === copy.text);
        });
      });

      await t.test('a copy carries what was chosen, in words too, and answers alike', async () => {
        let copy = { text: '', name: '' };
        let given = null;
        let rows = 0;
        await look(pageAddress(site), async (page) => {
          await answered(page);
          await choose(page, 'tool', 'sorrel-18-medium');
          await choose(page, 'pack', 'two-row-8-0');
          await choose(page, 'job', '650 N·m');
          given = await page.evaluate(() => globalThis.heard.answer);
          rows = await page.evaluate(() => document.querySelectorAll('job-torque tbody tr').length);
          copy = await saved(page);
        });
        assert.match(copy.name, /^650-n-m-sorrel-18-/);
        const address = await kept('chosen.html', copy.text);
        await look(address, async (page) => {
          const answer = await answered(page);
          assert.deepEqual(answer, given);
          assert.equal(await shadowText(page, '[part~="headline"]'), given.headline);
          assert.ok(
            HTML_START + (await page.evaluate(() => document.documentElement.outerHTML)) === copy.text,
          );
          assert.ok((await saved(page)).text === copy.text);
          const light = await page.evaluate(() => [
            document.title,
            document.querySelector('job-torque > .headline').textContent,
            document.querySelectorAll('job-torque tbody tr').length,
          ]);
          assert.match(light[0], /^650 N·m, Sorrel 18 .*: /);
          assert.equal(light[1], given.headline);
          assert.ok(light[2] >= rows - 1 && light[2] <= rows + 1, `${light[2]} rows, ${rows} before`);
        });
        await look(`${address}#tool=vetch-18-small`, async (page) => {
          const answer = await answered(page);
          assert.deepEqual(
            [answer.tool, answer.pack],
            ['vetch-18-small', null],
            'a fragment wins as a whole',
          );
        });
      });

      await t.test('a copy that the browser made saves as the page itself does', async () => {
        let copies = [];
        await look(pageAddress(site), async (page) => {
          await answered(page);
          copies = await page.evaluate(() => {
            const element = document.querySelector('job-torque');
            const page = document.documentElement;
            const whole = page.getHTML({ serializableShadowRoots: true, shadowRoots: [element.shadowRoot] });
            const open = page.cloneNode(false).outerHTML.replace('</html>', '');
            const html = `${open}${whole}</html>`;
            const told = '<meta http-equiv="Content-Type" content="text/html; charset=UTF-8">';
            return [
              `<!DOCTYPE html>\n<!-- saved from url=(0014)about:internet -->\n${html}`,
              `<!DOCTYPE html>\n<!-- saved from url=(0014)about:internet -->\n${html.replace('<meta charset="utf-8">', told)}\n`,
              `<!DOCTYPE html>\n${html.replace('<head>', `<head>${told}`)}`,
            ];
          });
        });
        assert.ok(
          copies[0].includes('<template shadowrootmode="open"'),
          'the copy has the tree of the element',
        );
        for (const [number, text] of copies.entries()) {
          await look(await kept(`browser-${number}.html`, text), async (page) => {
            await answered(page);
            assert.ok(await shadowText(page, '[part~="headline"]'), 'the copy lives');
            assert.ok((await saved(page)).text === plain, `copy ${number}`);
          });
        }
      });
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  });
}
