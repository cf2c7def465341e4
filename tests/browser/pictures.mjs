// Makes the pictures of the README again: `node pictures.mjs` in tests/browser, after
// `jobtorque page --out target/site-tested`. The fonts are those of the tests.
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { browsers, pageAddress, site, withBrowser, withPage } from './harness.mjs';

const folder = fileURLToPath(new URL('../../www/pictures', import.meta.url));
const SORREL = 'tool=sorrel-18-medium&pack=two-row-8-0';
const TORQUE = 'job=650 N·m&direction=loosen';
const WHEEL = 'direction=tighten&tool=teasel-18-large&pack=two-row-8-0';
const WIDE = { width: 1280, height: 800 };
const PHONE = { width: 360, height: 640 };

/** Name, size and link of each; whether it is dark; a heading that it begins with. */
const pictures = [
  ['desktop', WIDE, `${TORQUE}&${SORREL}`],
  ['desktop-dark', WIDE, `${TORQUE}&${SORREL}`, { dark: true }],
  ['phone', PHONE, `${TORQUE}&${SORREL}`],
  ['phone-aged', PHONE, `${TORQUE}&${SORREL}&condition=1.5`, { dark: true }],
  ['phone-bolt', PHONE, `job=M20 10.9 oiled&direction=loosen&${SORREL}`],
  ['phone-estimate', PHONE, 'job=200 N·m&direction=loosen&tool=vetch-18-small&pack=two-row-8-0'],
  ['tablet-tighten', { width: 768, height: 800 }, WHEEL],
  [
    'side-by-side',
    WIDE,
    `${SORREL}&beside=teasel-18-large/two-row-5-0+yarrow-18-large/slim-4-0`,
    { heading: 'Side by side' },
  ],
  ['table', WIDE, SORREL, { heading: 'All pairs for this job' }],
];

const [chromium] = browsers;
await withBrowser(chromium, async (running) => {
  for (const [name, viewport, link, { dark, heading } = {}] of pictures) {
    const before = (page) =>
      page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: dark ? 'dark' : 'light' }]);
    const shown = async (page) => {
      await page.waitForFunction(() => globalThis.heard?.answer);
      // The lists come after the next frame.
      await new Promise((resolve) => setTimeout(resolve, 1000));
      await page.evaluate((heading) => {
        const root = document.querySelector('job-torque').shadowRoot;
        const headings = [...root.querySelectorAll('h2, h3, summary, caption, .heading')];
        const found = headings.find((one) => heading && one.textContent.trim().startsWith(heading));
        if (heading && !found) throw new Error(`no heading ${heading}`);
        found?.scrollIntoView();
      }, heading);
      await page.screenshot({ path: path.join(folder, `${name}.webp`), type: 'webp', quality: 75 });
    };
    const address = `${pageAddress(site)}#${encodeURI(link)}`;
    await withPage(running, address, shown, { viewport, before, messages: true });
  }
});
