// What the page and the reading of a bench folder cost, each figure against a rival in the same run:
// `node tests/bench/run.mjs [WORD…]`, after `jobtorque page --out target/site-tested`. Times differ between machines;
// ratios of one run hold.
import { redraw } from './redraw.mjs';
import { change } from './change.mjs';
import { first } from './first.mjs';
import { drag } from './drag.mjs';
import { press } from './press.mjs';
import { article } from './article.mjs';
import { bytes } from './bytes.mjs';
import { folder } from './folder.mjs';

const benches = { bytes, article, redraw, change, press, drag, first, folder };
const wanted = process.argv.slice(2);
for (const [name, bench] of Object.entries(benches)) {
  if (wanted.length > 0 && !wanted.some((word) => name.includes(word))) continue;
  console.log(`\n== ${name} ==`);
  console.table(await bench());
}
