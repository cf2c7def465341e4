// What a phone shows first: few words, the chart high up; a whole view says little, and nothing twice.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answered, browsers, pageAddress, site, withBrowser, withPage } from './harness.mjs';

const PHONE = { width: 360, height: 640 };
const PAIR = 'tool=sorrel-18-medium&pack=two-row-8-0';

/** What is asked, by what it is an example of. */
const VIEWS = {
  'the fresh job': '',
  'a chosen pair': `job=650 N·m&direction=loosen&${PAIR}`,
  'a bolt': `job=M20 10.9&direction=loosen&${PAIR}`,
  'an aged bolt': `job=M20 10.9&direction=loosen&condition=1.5&${PAIR}`,
  'an estimate': 'job=200 N·m&tool=vetch-18-small&pack=two-row-8-0',
};

/** Others that a view must not repeat itself in. */
const MORE = {
  'a bolt to tighten': `job=M20 10.9&direction=tighten&${PAIR}`,
  'a wheel to tighten': `direction=tighten&${PAIR}`,
  'nuts like those tried': `job=650 N·m&condition=checked&${PAIR}`,
  'out of reach': `job=1500 N·m&${PAIR}`,
  'another setup': `job=400 N·m&setup=extension&loss=10&${PAIR}`,
  'a loss': `job=400 N·m&loss=10&${PAIR}`,
};

/**
 * The words that are seen without opening anything, those of controls with them, but not the figures in the
 * drawing: all, and those of the first window; and where the chart begins.
 */
const seen = (page) =>
  page.evaluate(() => {
    const { shadowRoot: root } = document.querySelector('job-torque');
    const sheet = root.querySelector('.sheet');
    const { top } = sheet.getBoundingClientRect();
    const all = [];
    const add = (text, box) => {
      for (const word of text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word))) {
        all.push({ word, y: box.top - top });
      }
    };
    const isShown = (box) => box.width > 1 && box.height > 1;
    const walker = document.createTreeWalker(sheet, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const around = node.parentElement;
      if (around.closest('select, .words, .unseen, .status') || !around.checkVisibility()) continue;
      const range = document.createRange();
      for (const { 0: word, index } of node.data.matchAll(/\S+/g)) {
        range.setStart(node, index);
        range.setEnd(node, index + word.length);
        const box = range.getBoundingClientRect();
        if (isShown(box)) add(word, box);
      }
    }
    for (const control of sheet.querySelectorAll('select, input:not([type="range"], [type="checkbox"])')) {
      const box = control.getBoundingClientRect();
      const text = control instanceof HTMLSelectElement ? control.selectedOptions[0]?.text : control.value;
      if (control.checkVisibility() && isShown(box)) add(text ?? '', box);
    }
    const first = all.filter(({ y }) => y < innerHeight).map(({ word }) => word);
    const chart = root.querySelector('.plot').getBoundingClientRect().top - top;
    return { first, all: all.length, chart };
  });

/** Every sentence that can be read, with everything open, by how often it stands there. */
const sentences = (page) =>
  page.evaluate(() => {
    const sheet = document.querySelector('job-torque').shadowRoot.querySelector('.sheet');
    for (const details of sheet.querySelectorAll('details')) details.open = true;
    const counts = new Map();
    for (const block of sheet.querySelectorAll('p, li, h2, h3, figcaption')) {
      if (block.closest('.status') || !block.checkVisibility() || block.querySelector('p, li')) continue;
      for (const sentence of block.innerText.split(/(?<=[.?!])\s+/)) {
        const plain = sentence.replaceAll(/\s+/g, ' ').trim();
        if (plain.split(' ').length > 3) counts.set(plain, (counts.get(plain) ?? 0) + 1);
      }
    }
    return [...counts];
  });

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const look = (link, use, viewport = PHONE) =>
        withPage(running, `${pageAddress(site)}#${encodeURI(link)}`, use, { viewport });

      for (const [name, link] of Object.entries(VIEWS)) {
        await t.test(`${name} needs few words, and its chart begins high up`, () =>
          look(link, async (page) => {
            await answered(page);
            await new Promise((resolve) => setTimeout(resolve, 300));
            const { first, chart } = await seen(page);
            assert.ok(first.length <= 70, `${first.length} words: ${first.join(' ')}`);
            assert.ok(first.length >= 30, `${first.length} words: ${first.join(' ')}`);
            assert.ok(chart <= 420, `the chart begins at ${chart} px`);
            assert.match(first.join(' '), /impact wrench/);
          }),
        );
      }

      for (const [width, most] of [
        [360, 300],
        // All columns of the table.
        [1280, 370],
      ]) {
        await t.test(`the view as it opens has few words, ${width} px wide`, () =>
          look(
            '',
            async (page) => {
              await answered(page);
              const { all } = await seen(page);
              assert.ok(all <= most && all > 100, `${all} words`);
            },
            { width, height: 800 },
          ),
        );
      }

      for (const [name, link] of Object.entries({ ...VIEWS, ...MORE })) {
        await t.test(`${name}: no sentence stands there twice`, () =>
          look(link, async (page) => {
            await answered(page);
            await new Promise((resolve) => setTimeout(resolve, 300));
            const said = await sentences(page);
            assert.ok(said.length > 10);
            assert.deepEqual(
              said.filter(([, times]) => times > 1),
              [],
            );
          }),
        );
      }
    }),
  );
}
