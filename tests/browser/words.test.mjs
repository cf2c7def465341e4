// Every sentence of an answer stands on the page, once, in wide and in narrow layouts, for every kind of question.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answered, browsers, pageAddress, site, withBrowser, withPage } from './harness.mjs';

const PAIR = 'tool=sorrel-18-medium&pack=two-row-8-0';
const OFF_BOLT = 'Your bolt is not our bolt. Rust, paint and dirt can ask for far more.';
const FINISH = "Finish wheel nuts with a calibrated torque wrench, set to the maker's figure.";

/** A link, and sentences that its view has to hold, written by hand. */
const questions = [
  [`job=650 N·m&direction=loosen&${PAIR}`, ['650 N·m is within reach.', OFF_BOLT]],
  [`job=650 N·m&direction=loosen&condition=1.5&${PAIR}`, ['975 N·m is out of reach.', OFF_BOLT]],
  [`job=M20 10.9 oiled&direction=loosen&${PAIR}`, ["the maker's figure goes first.", OFF_BOLT]],
  ['direction=tighten&tool=teasel-18-large&pack=two-row-8-0', ['678 N·m is within reach.', FINISH]],
  ['job=200 N·m&tool=vetch-18-small&pack=two-row-8-0', ['Estimate, not measured: 200 N·m is within reach.']],
  ['job=650 N·m&direction=loosen', ['pairs of tool and pack have 650 N·m within reach.', OFF_BOLT]],
];

/** The answer that was told, and what a reader sees with everything open. */
const seen = (page) =>
  page.evaluate(() => {
    const sheet = document.querySelector('job-torque').shadowRoot.querySelector('.sheet');
    for (const details of sheet.querySelectorAll('details')) details.open = true;
    const { before, headline, checks, lines, further, cautions, warnings, rests_on, reminders } =
      globalThis.heard.answer;
    const told = { before, headline: [headline], checks, lines, further, cautions, warnings };
    return { told: { ...told, rests_on, reminders }, text: sheet.innerText.replaceAll(/[\u00a0\s]+/g, ' ') };
  });

const plain = (text) => text.replaceAll(/[\u00a0\s]+/g, ' ').trim();

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      for (const width of [1280, 360]) {
        for (const [link, wanted] of questions) {
          await t.test(`${link}, ${width} px wide`, () =>
            withPage(
              running,
              `${pageAddress(site)}#${encodeURI(link)}`,
              async (page) => {
                await answered(page);
                const { told, text } = await seen(page);
                for (const [kind, sentences] of Object.entries(told)) {
                  for (const sentence of sentences) {
                    assert.equal(
                      text.split(plain(sentence)).length - 1,
                      1,
                      `${kind}: ${sentence} in ${text}`,
                    );
                  }
                }
                for (const sentence of wanted) assert.ok(text.includes(sentence), `${sentence} in ${text}`);
              },
              { viewport: { width, height: 800 } },
            ),
          );
        }
      }
    }),
  );
}
