// Taking hold of the chart: the needed line is dragged by mouse, touch and keyboard, a curve is tapped, and the reading
// keeps clear of what it reads.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answered, browsers, eventually, pageAddress, site, withBrowser, withPage } from './harness.mjs';

const PAIR = { tool: 'sorrel-18-medium', pack: 'two-row-8-0' };
const OTHER = { tool: 'burdock-18-medium', pack: 'two-row-8-0' };
const linkTo = (choice) => `${pageAddress(site)}#${new URLSearchParams(choice)}`;

/** What stands on the page: the job of the blank, the headline, the slider, the address, the lists. */
const shown = (page) =>
  page.evaluate(() => {
    const root = document.querySelector('job-torque').shadowRoot;
    const pull = root.querySelector('.plate .pull');
    const link = new URLSearchParams(location.hash.slice(1));
    return {
      job: root.querySelector('[name=job]').value,
      headline: root.querySelector('.plate .verdict, .plate h1, [part~=headline]')?.textContent ?? '',
      spoken: pull.getAttribute('aria-valuetext'),
      link: link.get('job'),
      direction: link.get('direction'),
      table: root.querySelector('.pairs')?.textContent ?? '',
      reading: !root.querySelector('.plate .reading').hidden,
      focus: root.activeElement?.className,
    };
  });

const boxOf = (page, selector) =>
  page.evaluate((selector) => {
    const { x, y, width, height } = document
      .querySelector('job-torque')
      .shadowRoot.querySelector(selector)
      .getBoundingClientRect();
    return { x, y, width, height };
  }, selector);

const middle = ({ x, y, width, height }) => ({ x: x + width / 2, y: y + height / 2 });
const frames = (page) =>
  page.evaluate(
    () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done()))),
  );
const torque = (text) => Number(text.replace(/ .*/, ''));

/** Asserts that a job is a whole step of its size, in N·m. */
function assertSettled(job) {
  const number = torque(job);
  const step = number < 100 ? 1 : number < 500 ? 5 : 10;
  assert.ok(job.endsWith(' N·m') && number % step === 0, job);
}

for (const browser of browsers) {
  test(`in ${browser.name}`, { timeout: 300_000 }, (t) =>
    withBrowser(browser, async (running) => {
      await t.test('the needed line is dragged by mouse, and the question follows', () =>
        withPage(running, linkTo({ ...PAIR, job: '650 N·m', direction: 'loosen' }), async (page) => {
          await answered(page);
          const knob = await boxOf(page, '.plate .knob');
          assert.ok(knob.width >= 24 && knob.height >= 24, JSON.stringify(knob));
          await page.evaluate(() => (globalThis.answers = 0));
          await page.evaluate(() =>
            document.querySelector('job-torque').addEventListener('answer', () => (globalThis.answers += 1)),
          );
          const from = middle(knob);
          await page.mouse.move(from.x, from.y);
          await page.mouse.down();
          await page.mouse.move(from.x, from.y + 20);
          await frames(page);
          await page.mouse.move(from.x, from.y + 40);
          await frames(page);
          const during = await shown(page);
          assert.ok(torque(during.job) < 600, during.job);
          assert.equal(during.spoken, during.job);
          assert.match(during.headline, new RegExp(during.job));
          // The address and whoever hears answers wait until the line is let go of, and nothing is read.
          assert.equal(during.link, '650 N·m');
          assert.equal(during.reading, false);
          assert.equal(await page.evaluate(() => globalThis.answers), 0);
          const held = middle(await boxOf(page, '.plate .knob'));
          assert.ok(Math.abs(held.y - (from.y + 40)) <= 3, `${held.y} ${from.y + 40}`);
          await page.mouse.up();
          await eventually(page, () => globalThis.answers === 1 || null);
          const after = await shown(page);
          assert.equal(after.job, during.job);
          assert.equal(after.link, after.job);
          assert.equal(after.direction, 'loosen');
          assertSettled(after.job);
        }),
      );

      await t.test('it goes back where Escape is pressed, and a click leaves it', () =>
        withPage(running, linkTo({ ...PAIR, job: '653 N·m' }), async (page) => {
          await answered(page);
          const from = middle(await boxOf(page, '.plate .knob'));
          await page.mouse.click(from.x, from.y);
          assert.equal((await shown(page)).job, '653 N·m');
          await page.mouse.move(from.x, from.y);
          await page.mouse.down();
          await page.mouse.move(from.x, from.y + 30);
          await frames(page);
          assert.notEqual((await shown(page)).job, '653 N·m');
          await page.keyboard.press('Escape');
          assert.equal((await shown(page)).job, '653 N·m');
          await page.mouse.move(from.x, from.y + 50);
          await frames(page);
          await page.mouse.up();
          assert.equal((await shown(page)).job, '653 N·m');
          assert.equal((await shown(page)).link, '653 N·m');
        }),
      );

      await t.test('an aged fastener and a loss are taken out of the job, in the unit shown', () =>
        withPage(
          running,
          linkTo({ ...PAIR, job: '300 lbf·ft', condition: '1.5', loss: '10' }),
          async (page) => {
            await answered(page);
            assert.equal((await shown(page)).spoken, '300 lbf·ft');
            const from = middle(await boxOf(page, '.plate .knob'));
            await page.mouse.move(from.x, from.y);
            await page.mouse.down();
            await page.mouse.move(from.x, from.y - 5);
            await page.mouse.move(from.x, from.y + 30);
            await frames(page);
            await page.mouse.up();
            const { job } = await shown(page);
            const answer = await page.evaluate(() => globalThis.heard.answer);
            assert.match(job, /^\d+ lbf·ft$/);
            assert.ok(torque(job) < 300);
            const needed = (torque(job) * 1.3558179483314004 * 1.5) / 0.9;
            assert.ok(Math.abs(answer.required_torque_nm - needed) < 1e-6, `${needed}`);
          },
        ),
      );

      await t.test('it moves by keys, a step or ten', () =>
        withPage(running, linkTo({ ...PAIR, job: '650 N·m' }), async (page) => {
          await answered(page);
          await page.evaluate(() =>
            document.querySelector('job-torque').shadowRoot.querySelector('.plate .pull').focus(),
          );
          for (const [key, job] of [
            ['ArrowUp', '660 N·m'],
            ['ArrowLeft', '650 N·m'],
            ['PageDown', '550 N·m'],
            ['PageUp', '650 N·m'],
            ['PageDown', '550 N·m'],
            ['PageDown', '475 N·m'],
            ['ArrowRight', '480 N·m'],
          ]) {
            await page.keyboard.press(key);
            const now = await shown(page);
            assert.deepEqual([now.job, now.spoken, now.link, now.focus], [job, job, job, 'pull'], key);
          }
          const name = await page.evaluate(() => {
            const pull = document.querySelector('job-torque').shadowRoot.querySelector('.plate .pull');
            return [pull.ariaLabel ?? pull.getAttribute('aria-label'), pull.type];
          });
          assert.deepEqual(name, ['job torque', 'range']);
        }),
      );

      await t.test('places by torque stand below the chart, and the line there is dragged across', () =>
        withPage(running, linkTo({ ...PAIR, job: '650 N·m' }), async (page) => {
          const answer = await answered(page);
          const said = () =>
            page.evaluate(() => {
              const places = document.querySelector('job-torque').shadowRoot.querySelector('.plate .places');
              if (places.hidden) return null;
              const [canvas, text] = [places.querySelector('canvas'), places.querySelector('p')];
              return { name: canvas.getAttribute('aria-label'), text: text.textContent };
            });
          await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            return root.querySelector('.plate .places p').textContent || null;
          });
          const { name, text } = await said();
          assert.match(text, /^Place by torque in N·m, with the band of 90 in 100: 1 is quickest\.$/);
          assert.equal(name, `Sorrel 18 medium with two-row 8.0 has place ${answer.rank} for 650 N·m.`);
          const from = middle(await boxOf(page, '.plate .places .grip'));
          await page.mouse.move(from.x, from.y);
          await page.mouse.down();
          await page.mouse.move(from.x - 30, from.y);
          await page.mouse.move(from.x - 60, from.y);
          await frames(page);
          const during = await shown(page);
          assert.ok(torque(during.job) < 640, during.job);
          assert.equal(during.link, '650 N·m');
          const held = middle(await boxOf(page, '.plate .places .grip'));
          assert.ok(Math.abs(held.x - (from.x - 60)) <= 4, `${held.x} ${from.x - 60}`);
          assert.ok((await said()).name.includes(during.job), 'drawn in every frame');
          await page.mouse.up();
          const after = await shown(page);
          assert.equal(after.link, during.job);
          assertSettled(after.job);
        }),
      );

      await t.test('a list has lines of its own, best of three and the compact form have no plot', () =>
        withPage(running, linkTo({ job: '650 N·m' }), async (page) => {
          await answered(page);
          const text = () =>
            page.evaluate(() => {
              const places = document.querySelector('job-torque').shadowRoot.querySelector('.plate .places');
              return places.hidden ? null : places.textContent;
            });
          await eventually(page, () => {
            const root = document.querySelector('job-torque').shadowRoot;
            return root.querySelector('.plate .places p').textContent || null;
          });
          assert.match(await text(), /1 is quickest\.$/);
          await page.evaluate(() =>
            document.querySelector('job-torque').setAttribute('score', 'best-of-three'),
          );
          await page.evaluate(() => (location.hash = ''));
          await eventually(
            page,
            () =>
              document.querySelector('job-torque').shadowRoot.querySelector('.plate .places').hidden || null,
          );
          await page.evaluate(() => document.querySelector('job-torque').removeAttribute('score'));
          await eventually(
            page,
            () =>
              !document.querySelector('job-torque').shadowRoot.querySelector('.plate .places').hidden || null,
          );
          await page.evaluate(() => document.querySelector('job-torque').setAttribute('compact', ''));
          await page.evaluate(() => document.querySelector('job-torque').setAttribute('job', '600 N·m'));
          await frames(page);
          await frames(page);
          assert.equal(await text(), null);
        }),
      );

      await t.test('a tap on a curve chooses its pair, a tap elsewhere reads the chart', () =>
        withPage(
          running,
          linkTo({ ...PAIR, job: '650 N·m', beside: `${OTHER.tool}/${OTHER.pack}` }),
          async (page) => {
            await answered(page);
            const plot = await boxOf(page, '.plate .plot');
            // Below all curves at the end of the window.
            await page.mouse.click(plot.x + plot.width * 0.8, plot.y + plot.height - 45);
            assert.equal((await shown(page)).reading, true);
            assert.equal((await page.evaluate(() => globalThis.heard.answer)).tool, PAIR.tool);
            const dot = middle(await boxOf(page, '.plate .reading .dot.dashed'));
            await page.mouse.click(dot.x, dot.y + 5);
            const link = new URLSearchParams(await page.evaluate(() => location.hash.slice(1)));
            assert.deepEqual([link.get('tool'), link.get('pack')], [OTHER.tool, OTHER.pack]);
          },
        ),
      );

      if (browser.name === 'Chromium') {
        await t.test('it is dragged by touch, and the page scrolls elsewhere', () =>
          withPage(
            running,
            linkTo({ ...PAIR, job: '650 N·m' }),
            async (page) => {
              await answered(page);
              const session = await page.createCDPSession();
              const touch = (type, x, y) =>
                session.send('Input.dispatchTouchEvent', {
                  type,
                  touchPoints: type === 'touchEnd' ? [] : [{ x, y }],
                });
              const slide = async ({ x, y }, by) => {
                await touch('touchStart', x, y);
                for (let part = 1; part <= 8; part += 1) {
                  await touch('touchMove', x, y + (by * part) / 8);
                  await frames(page);
                }
                await touch('touchEnd');
                await frames(page);
              };
              const knob = await boxOf(page, '.plate .knob');
              assert.ok(knob.width >= 44 && knob.height >= 44, JSON.stringify(knob));
              const scrolled = () => page.evaluate(() => scrollY);
              const before = await scrolled();
              const plotTop = async () => (await boxOf(page, '.plate .plot')).y;
              const top = await plotTop();
              await slide(middle(knob), 40);
              const { job, link } = await shown(page);
              assert.ok(torque(job) < 600 && job === link, `${job} ${link}`);
              // The page moves by as much as what stands above became higher, so that the plot stays; let go
              // of, what became lower takes its own height again.
              assert.ok(Math.abs((await plotTop()) - top) <= 8, `${await plotTop()} ${top}`);
              assertSettled(job);
              const plot = await boxOf(page, '.plate .plot');
              await slide({ x: plot.x + plot.width / 2, y: plot.y + plot.height - 20 }, -150);
              assert.ok((await scrolled()) > before, 'the page scrolls');
              assert.equal((await shown(page)).job, job);
            },
            { viewport: { width: 360, height: 640, deviceScaleFactor: 1, hasTouch: true, isMobile: true } },
          ),
        );
      }
    }),
  );
}
