// Serves files from memory on the loopback address, in brotli as a host would.
import { createServer } from 'node:http';
import { once } from 'node:events';
import { brotliCompressSync } from 'node:zlib';
import { typeOf } from '../browser/harness.mjs';

/**
 * Gives the address of a server of `files` (by name) to `use`.
 *
 * @param {Map<string, Buffer | string>} files
 * @param {(address: string) => Promise<unknown>} use
 */
export async function serving(files, use) {
  const packed = new Map([...files].map(([name, body]) => [`/${name}`, brotliCompressSync(body)]));
  const server = createServer((request, response) => {
    const name = request.url?.split(/[?#]/)[0] ?? '';
    const body = packed.get(name);
    if (body) response.writeHead(200, { 'content-type': typeOf(name), 'content-encoding': 'br' }).end(body);
    else response.writeHead(404).end();
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  try {
    return await use(`http://127.0.0.1:${server.address().port}/`);
  } finally {
    server.closeAllConnections();
    server.close();
  }
}
