// Bytes of every part, plain and in brotli.
import { readFile, readdir } from 'node:fs/promises';
import path from 'node:path';
import { brotliCompressSync } from 'node:zlib';
import { site } from '../browser/harness.mjs';

/** Plain and packed bytes of every file of the site, by name. */
export async function bytes() {
  const parts = {};
  for (const name of await readdir(site)) {
    if (name.startsWith('.')) continue;
    const body = await readFile(path.join(site, name));
    parts[name] = { plain: body.length, brotli: brotliCompressSync(body).length };
  }
  return parts;
}
