// Runs a test program compiled for WebAssembly (WASI preview 1): cargo's runner for that target.
// Usage: node wasi.mjs PROGRAM.wasm [ARGUMENTS...]
import { readFile } from 'node:fs/promises';
import { WASI } from 'node:wasi';
import process from 'node:process';

const [program, ...rest] = process.argv.slice(2);
const wasi = new WASI({
  version: 'preview1',
  args: [program, ...rest],
  env: {},
  returnOnExit: true,
});
const module = await WebAssembly.compile(await readFile(program));
const instance = await WebAssembly.instantiate(module, wasi.getImportObject());
process.exitCode = wasi.start(instance);
