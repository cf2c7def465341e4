// What a link says is repeated shortened and with nothing hidden in it; an option that is none is told.
import assert from 'node:assert/strict';
import test from 'node:test';
import { browsers, eventually, pageAddress, site, withBrowser, withPage } from './harness.mjs';

/** Texts of someone who wants the page to speak for them. */
const HOSTILE = {
  markup: '<img src=x onerror="globalThis.hurt = true"><b>Call us</b>',
  'reversed writing': `zz \u202Eecno ta llac\u202C \u2067back\u2069 now`,
  'five thousand letters': 'Your tool was called back. '.repeat(185),
  'joined signs': 'zz \u{1F469}\u200D\u{1F527}\u{1F3F4}\u{E0067}\u{E0062}\u{E007F}\uFE0F',
  'heaped marks': `z${'\u0301\u0489\u035F'.repeat(60)}alarm`,
  'control signs': 'zz\u0000\u0007\u001B[31m\u0085\u00AD\u200B\uFEFFred\nnext',
};

/** Every text that the element shows, says or keeps ready, and the title. */
const allTexts = (page) =>
  eventually(page, () => {
    const { shadowRoot } = document.querySelector('job-torque');
    const fault = shadowRoot?.querySelector('.ask .fault:not([hidden])');
    if (!fault) return null;
    const attributes = [...shadowRoot.querySelectorAll('*')].flatMap((element) =>
      ['aria-label', 'title', 'alt', 'placeholder', 'data-text'].map(
        (name) => element.getAttribute(name) ?? '',
      ),
    );
    const job = shadowRoot.querySelector('[name="job"]');
    return {
      fault: fault.textContent,
      height: fault.getBoundingClientRect().height,
      all: [shadowRoot.querySelector('.sheet').textContent, ...attributes, job.value, document.title],
      job: job.value,
      foreign: shadowRoot.querySelectorAll('img, b:not(.lines b)').length,
      hurt: globalThis.hurt ?? false,
      wide: document.documentElement.scrollWidth - innerWidth,
    };
  });

/** Signs that nobody sees or that turn the writing, and marks heaped up. */
const HIDDEN =
  /[\u0000-\u0008\u000E-\u001F\u007F-\u009F\u00AD\u200B-\u200F\u202A-\u202E\u2060-\u206F\uFE00-\uFE0F\uFEFF]|[\u{E0000}-\u{E007F}]|\p{M}{3}/u;

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      const open = (fragment, use, viewport = { width: 360, height: 800 }) =>
        withPage(running, `${pageAddress(site)}#${fragment}`, use, { viewport });

      for (const [kind, text] of Object.entries(HOSTILE)) {
        await t.test(`a link cannot speak for the page: ${kind}`, async () => {
          for (const name of [
            'job',
            'tool',
            'pack',
            'setup',
            'rig',
            'sort',
            'score',
            'units',
            'size',
            'beside',
          ]) {
            const value = name === 'beside' ? `${encodeURIComponent(text)}/x` : text;
            await open(new URLSearchParams({ [name]: value }), async (page) => {
              const { fault, height, all, job, foreign, hurt, wide } = await allTexts(page);
              const said = `${name}: ${fault}`;
              assert.ok(height > 10, said);
              assert.ok(fault.length <= 150, `${fault.length} characters, ${said}`);
              assert.ok(job.length <= 41, `${job.length} characters in the blank`);
              for (const shown of all) {
                assert.doesNotMatch(shown, HIDDEN, said);
                assert.ok(!shown.includes(text), `the whole text is repeated by ${said}`);
              }
              assert.deepEqual([foreign, hurt], [0, false], said);
              assert.ok(wide <= 0, `${wide} px too wide, ${said}`);
            });
          }
        });
      }

      await t.test('a filter from a link is shortened where the table tells it', () =>
        open(new URLSearchParams({ find: HOSTILE['five thousand letters'] }), async (page) => {
          const state = await eventually(
            page,
            () => document.querySelector('job-torque').shadowRoot?.querySelector('.state')?.textContent,
          );
          assert.ok(state.length < 200, state);
        }),
      );

      const saidOf = (page) =>
        eventually(page, () => {
          if (globalThis.heard.answers === 0) return null;
          const fault = document.querySelector('job-torque').shadowRoot.querySelector('.ask .fault');
          return { said: fault.textContent, torque: globalThis.heard.answer.job_torque_nm };
        });

      await t.test('an option that is none is told, and the rest is answered', async () => {
        for (const [fragment, said] of [
          ['score=abc', 'We do not know score "abc". We know typical, best-of-three.'],
          ['size=huge', 'We do not know size "huge". We know small, medium, large.'],
          ['units=kg', 'We do not know units "kg". We know n-m, lbf-ft.'],
          ['direction=up', 'We do not know direction "up". We know loosen, tighten.'],
          ['order=best', 'We do not know order "best". We know lightest, shortest, least-costly, quickest.'],
          ['sold=no', 'We do not know sold "no". We know yes.'],
          [
            'size=huge&score=abc',
            'We do not know score "abc". We know typical, best-of-three. We do not know size "huge". We know small, medium, large.',
          ],
          ['Score=typical', 'We do not know "Score". Did you mean "score"?'],
          ['tol=sedge', 'We do not know "tol". Did you mean "tool"?'],
          ['jobs=x', 'We do not know "jobs". Did you mean "job"?'],
          ['wihtin=2', 'We do not know "wihtin". Did you mean "within"?'],
          ['edtion=2', 'We do not know "edtion". Did you mean "edition"?'],
        ]) {
          await open(`${fragment}&job=450%20N%C2%B7m`, async (page) => {
            assert.deepEqual(await saidOf(page), { said, torque: 450 }, fragment);
          });
        }
      });

      await t.test('what is not for the page is passed over', async () => {
        for (const fragment of [
          'job=450%20N%C2%B7m:~:text=peak',
          'job=450%20N%C2%B7m&utm_source=post&ref=x&lang=de&q=1',
          'job=450%20N%C2%B7m&score&size=',
        ]) {
          await open(fragment, async (page) => {
            assert.deepEqual(await saidOf(page), { said: '', torque: 450 }, fragment);
          });
        }
        for (const fragment of ['edition-3', ':~:text=Editions']) {
          await open(fragment, async (page) => assert.equal((await saidOf(page)).said, '', fragment));
        }
      });
    }),
  );
}
