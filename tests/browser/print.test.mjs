// The page on paper: everything that was shown, in full, and nothing to press.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answered, ask, browsers, eventually, withBrowser, withPage, withSite } from './harness.mjs';

/** A4 within ordinary margins, in CSS pixels. */
const PAPER = { width: 718, height: 1000 };

const [chromium] = browsers;

test('on paper', { timeout: 120_000 }, () =>
  withSite({}, (address) =>
    withBrowser(chromium, (running) =>
      withPage(
        running,
        `${address}index.html`,
        async (page) => {
          await answered(page);
          const { detail } = await ask(page, {
            tool: 'sorrel-18-medium',
            pack: 'two-row-8-0',
            job: '650 N·m',
          });
          await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
          await page.emulateMediaType('print');
          await page.setViewport({ ...PAPER, deviceScaleFactor: 1 });
          const paper = await page.evaluate(() => {
            const root = document.querySelector('job-torque').shadowRoot;
            const visible = (element) =>
              element.checkVisibility() && element.getBoundingClientRect().height > 0;
            const text = (selector) =>
              [...root.querySelectorAll(selector)].filter(visible).map((element) => element.textContent);
            const plot = root.querySelector('.plot').getBoundingClientRect();
            const rows = [...root.querySelectorAll('.field tbody tr')].filter(visible).length;
            return {
              sideways: document.documentElement.scrollWidth - innerWidth,
              notice: text('.notice'),
              answer: text('.answer, .caution').join(' '),
              address: text('.address'),
              edition: text('.edition')[0],
              restsOn: text('.rests-on li').length,
              reminders: text('.reminders li').length,
              headings: [
                text('.field th[scope="col"]').length,
                root.querySelectorAll('.field th[scope="col"]').length,
              ],
              rows,
              all: root.querySelectorAll('.field tbody tr').length,
              takings: text('.take button').length,
              borders: [...root.querySelectorAll('select, input')]
                .filter(visible)
                .filter((control) => getComputedStyle(control).borderBottomWidth !== '0px').length,
              ratio: root.querySelector('canvas').width / plot.width,
              // A word of the chart that leaves the drawing is cut off.
              cut: [...root.querySelectorAll('.words span')]
                .filter((word) => {
                  const { left, right, top, bottom } = word.getBoundingClientRect();
                  const plot = word.closest('.plot').getBoundingClientRect();
                  return (
                    left < plot.left - 1 ||
                    right > plot.right + 1 ||
                    top < plot.top - 1 ||
                    bottom > plot.bottom + 1
                  );
                })
                .map((word) => word.textContent),
              paper: getComputedStyle(root.querySelector('.sheet')).backgroundColor,
              foot: document.querySelector('footer').textContent,
            };
          });
          assert.ok(paper.sideways <= 0, `${paper.sideways} px too wide`);
          assert.deepEqual(paper.notice, [detail.notice]);
          assert.ok(
            [detail.headline, ...detail.cautions].every((said) => paper.answer.includes(said)),
            paper.answer,
          );
          assert.equal(detail.checks.length, 1);
          assert.ok(paper.answer.replaceAll('\u00a0', ' ').includes(detail.checks[0]), paper.answer);
          assert.equal(paper.address.length, 1);
          assert.ok(
            paper.address[0].startsWith(`${address}index.html#tool=sorrel-18-medium`),
            paper.address[0],
          );
          assert.match(paper.edition, /^Edition 3, 11 July 2026/);
          assert.equal(paper.restsOn, detail.rests_on.length);
          assert.equal(paper.reminders, detail.reminders.length);
          assert.equal(paper.headings[0], paper.headings[1], 'every column');
          assert.equal(paper.rows, paper.all, 'every row');
          assert.deepEqual([paper.takings, paper.borders], [0, 0], 'nothing to press');
          assert.ok(paper.ratio > 2.98, `${paper.ratio} pixels for each`);
          assert.deepEqual(paper.cut, []);
          assert.equal(paper.paper, 'rgb(255, 255, 255)');
          assert.match(paper.foot, /CC0-1\.0/);
        },
        { before: (page) => page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: 'dark' }]) },
      ),
    ),
  ),
);

/** The ordinary margins of a browser's print dialogue. */
const MARGIN = { top: '10mm', bottom: '10mm', left: '10mm', right: '10mm' };

test(
  'the page as it opens prints on two sheets',
  { timeout: 120_000, skip: chromium.name !== 'Chromium' },
  () =>
    withSite({}, (address) =>
      withBrowser(chromium, (running) =>
        withPage(running, `${address}index.html`, async (page) => {
          const { notice } = await answered(page);
          await eventually(page, () =>
            Boolean(document.querySelector('job-torque').shadowRoot.querySelector('.field tbody tr')),
          );
          const printed = await page.pdf({ format: 'A4', margin: MARGIN });
          const sheets = Buffer.from(printed)
            .toString('latin1')
            .match(/\/Type\s*\/Page\b/g);
          assert.equal(sheets.length, 2);
          await page.emulateMediaType('print');
          const kept = await page.evaluate(() => {
            const note = document.querySelector('.on-paper');
            const root = document.querySelector('job-torque').shadowRoot;
            const style = (element) => getComputedStyle(element);
            return {
              note: note.textContent,
              fixed: style(note).position,
              shown: note.checkVisibility(),
              // A fixed element stands on every sheet; what flows keeps clear of it on every sheet.
              clear: style(document.querySelector('main')).boxDecorationBreak,
              head: style(root.querySelector('.field thead')).display,
              whole: style(root.querySelector('.field thead')).breakInside,
              // A button's own box would keep the head from being repeated.
              buttons: style(root.querySelector('.field thead .sort')).display,
            };
          });
          assert.deepEqual(kept, {
            note: notice,
            fixed: 'fixed',
            shown: true,
            clear: 'clone',
            head: 'table-header-group',
            whole: 'avoid',
            buttons: 'contents',
          });
          await page.emulateMediaType('screen');
          const onScreen = () => document.querySelector('.on-paper').checkVisibility();
          assert.equal(await page.evaluate(onScreen), false);
        }),
      ),
    ),
);
