import { answered, browsers, pageAddress, site, withBrowser, withPage } from './harness.mjs';
const PAIR = 'tool=sorrel-18-medium&pack=two-row-8-0';
const states = {
  fresh: '',
  pair: `job=650 N·m&direction=loosen&${PAIR}`,
  bolt: `job=M20 10.9&direction=loosen&${PAIR}`,
  aged: `job=M20 10.9&direction=loosen&condition=1.5&${PAIR}`,
  estimate: 'job=200 N·m&tool=vetch-18-small&pack=two-row-8-0',
  range: `${PAIR}`,
  tighten: `direction=tighten&${PAIR}`,
  nuts: `job=650 N·m&condition=checked&${PAIR}`,
  anytool: 'job=M20 10.9&condition=1.5',
};
for (const browser of browsers) await withBrowser(browser, async (running) => {
  for (const [name, link] of Object.entries(states)) await withPage(running, `${pageAddress(site)}#${encodeURI(link)}`, async (page) => {
    await answered(page);
    await new Promise(r=>setTimeout(r,300));
    const m = await page.evaluate(() => {
      const host = document.querySelector('job-torque'), root = host.shadowRoot, sheet = root.querySelector('.sheet');
      const top0 = host.getBoundingClientRect().top;
      const words = (t) => t.split(/\s+/).filter((w) => /[\p{L}\p{N}]/u.test(w)).length;
      // words above fold
      const walker = document.createTreeWalker(sheet, NodeFilter.SHOW_TEXT);
      let above = 0, texts=[];
      for (let n; (n = walker.nextNode()); ) {
        const el = n.parentElement;
        if (!el || el.closest('option, select, [hidden], .unseen, .words')) continue;
        if (!el.checkVisibility({checkVisibilityCSS:true, contentVisibilityAuto:false})) continue;
        for (const m of n.data.matchAll(/\S+/g)) {
          if (!/[\p{L}\p{N}]/u.test(m[0])) continue;
          const r = document.createRange(); r.setStart(n, m.index); r.setEnd(n, m.index + m[0].length);
          const b = r.getBoundingClientRect();
          if (b.height > 0 && b.width>1 && b.top - top0 < 640) { above += 1; texts.push(m[0]); }
        }
      }
      let inputs = 0; const shown=[];
      for (const c of root.querySelectorAll('select, input')) { const b = c.getBoundingClientRect(); if (b.height > 0 && b.top - top0 < 640 && c.type !== 'range'&& c.type !== 'checkbox' && c.checkVisibility()) { const t = c instanceof HTMLSelectElement ? c.selectedOptions[0]?.text ?? '' : c.value; inputs += words(t); shown.push(t);} }
      const all = words(sheet.innerText);
      const chart = root.querySelector('.chart .plot').getBoundingClientRect();
      const bottom = (s) => { const e=root.querySelector(s); return e ? Math.round(e.getBoundingClientRect().bottom-top0):null; };
      return { hostTop: Math.round(top0), above, inputs, all, chartTop: Math.round(chart.top - top0), chartBottom: Math.round(chart.bottom-top0), form: bottom('.ask'), lines: bottom('.lines'), caution: bottom('.caution:not(.before *)'), texts: texts.join(' ') + ' || ' + shown.join(' | ') };
    });
    console.log(browser.name, name, JSON.stringify(m));
    if (process.env.SHOTS && browser.name==='Chromium') await page.screenshot({ path: `/tmp/m/${name}.png`, fullPage: process.env.SHOTS==='full' });
  }, { viewport: { width: 360, height: 640 }, messages: true });
});
