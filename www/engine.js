/**
 * The WebAssembly module: started once for a page, its datasets shared by every element that asks
 * for the same one, and started once more if it should ever trap.
 */

import { Jobtorque, __wbg_reset_state, initSync } from './jobtorque.js';
import { LoadingStopped, loadedBytes, loadedText, painted } from './load.js';
import { isRefused } from './problems.js';
import { moduleFile, textCount, version } from './version.js';

/**
 * A text catalogue, as far as script needs it.
 * @typedef {{ lang: string, units: Record<string, string>, texts: Record<string, string> }} Catalogue
 */

/** Why nothing can be shown: the key of a text for visitors, and what lies behind it. */
export class LoadFault extends Error {
  /**
   * @param {string} key
   * @param {unknown} cause
   * @param {string} [file] the name of the file, where it is of another version
   */
  constructor(key, cause, file = '') {
    super(key, { cause });
    this.key = cause instanceof LoadingStopped ? cause.key : key;
    this.file = file;
  }
}

/** The same where it is the results that did not come, or are of another version. */
class ResultsFault extends LoadFault {}

/** Whether this is what an article loads first. */
const isFirst = moduleFile !== 'job-torque.wasm';

/** What the name of the results ends in, where that of their JSON ends in `.json`: the first part reads a summary. */
const RESULTS_ENDING = isFirst ? '-summary.txt' : '.txt';

/** The name of the texts: the first part has its own. */
const TEXTS_FILE = isFirst ? 'texts-first.json' : 'texts.json';

/** The member of a JSON file, and the section of the module, that holds the mark of who wrote it. */
const MARK = 'jobtorque';

/** Length of the hash in a text that stands for bytes. */
const HASH_LENGTH = 8;
/** The hash is 32-bit FNV-1a (RFC 9923). */
const FNV_OFFSET = 0x811c9dc5;
const FNV_PRIME = 0x01000193;
/** Characters of such a text have codes below this. */
const CHARACTERS = 0x200;

/** @type {Promise<WebAssembly.Module> | null} */
let compiling = null;
/** @type {WebAssembly.Module | null} */
let compiled = null;
/** Which instance of the module is in use: 0 for none, 1 for the first. */
let generation = 0;
/** After the first trap there is one new instance, after the second none. */
const LAST_GENERATION = 2;

/** @type {Map<string, Source>} */
const sources = new Map();

/** A dataset in one language, and what answers for it. */
export class Source {
  /** @type {Jobtorque | null} */
  #results = null;
  #generation = 0;
  #users = 0;
  /** @type {Promise<void> | null} */
  #loading = null;
  #edition;
  /** The results as they are published. */
  #data = new Uint8Array();
  /** @type {Catalogue} */
  catalogue = { lang: '', units: {}, texts: {} };
  /** Whether the results did not load and the copy in the page is used instead. */
  old = false;

  /**
   * @param {string} address of the dataset; empty for the blocks of the page
   * @param {string} edition the number of the edition whose results are enough; empty for the newest one, or for all
   */
  constructor(address, edition) {
    this.address = address;
    this.#edition = edition;
  }

  /** Another element uses this. Loads it if it is the first, and again after a failure. */
  open() {
    this.#users += 1;
    this.#loading ??= this.#load().catch((fault) => {
      this.#loading = null;
      throw fault;
    });
    return this.#loading;
  }

  /** An element no longer uses this. The last one frees it. */
  close() {
    this.#users -= 1;
    if (this.#users > 0) return;
    sources.delete(keyOf(this.address, this.#edition));
    if (this.#generation === generation) this.#results?.free();
    this.#results = null;
  }

  async #load() {
    // To read what stands in the page itself takes longer than a frame.
    if (!this.address) await painted();
    // All at once, and what fails is told in this order.
    compiling ??= compile();
    compiling.catch(() => undefined);
    const results = this.#loadResults();
    results.catch(() => undefined);
    await this.#loadTexts();
    await results;
    try {
      compiled = await (compiling ??= compile());
    } catch (cause) {
      compiling = null;
      throw new LoadFault('error.live_part', cause);
    }
    holdVersion(versionOf(compiled) === version, moduleFile);
    try {
      if (generation === 0) start(compiled);
    } catch (cause) {
      throw new LoadFault('error.live_part', cause);
    }
    // A faulty dataset throws its problems as they are.
    this.use(() => undefined);
  }

  async #loadTexts() {
    /** @type {Catalogue | null} */
    let catalogue;
    try {
      const beside = this.address && new URL(TEXTS_FILE, import.meta.url).href;
      catalogue = JSON.parse((await textOf('jobtorque-texts', beside)).text);
    } catch (cause) {
      throw new LoadFault('error.no_results', cause);
    }
    holdVersion(isWhole(catalogue), TEXTS_FILE);
    if (catalogue) this.catalogue = catalogue;
  }

  async #loadResults() {
    let published;
    try {
      // Those that stand in a page are for the whole.
      const block = isFirst ? '' : 'jobtorque-data';
      published = await textOf(block, this.address && packedAt(this.address, this.#edition));
    } catch (cause) {
      throw new ResultsFault('error.no_results', cause);
    }
    const { text, old } = published;
    if (!isReadable(text))
      throw new ResultsFault('error.other_version', null, fileOf(this.address, this.#edition));
    this.old = old;
    this.#data = resultsIn(text);
  }

  /**
   * Does something with the results. After the first trap it is done once more, with a new
   * instance; the second trap is thrown.
   * @template T
   * @param {(results: Jobtorque) => T} work
   * @returns {T}
   */
  use(work) {
    try {
      return work(this.#current());
    } catch (fault) {
      if (!isTrap(fault) || !compiled || generation >= LAST_GENERATION) throw fault;
      __wbg_reset_state();
      start(compiled);
      return work(this.#current());
    }
  }

  /**
   * The problem with an option that is none.
   * @param {import('./attributes.js').Unknown} option
   * @returns {import('./jobtorque.js').Problem}
   */
  unknown({ part, name, text, known }) {
    return this.use((results) => results.unknown(part, name, text, known));
  }

  #current() {
    if (!this.#results || this.#generation !== generation) {
      this.#results = new Jobtorque(this.#data, this.catalogue);
      this.#generation = generation;
    }
    return this.#results;
  }
}

/**
 * Whether other results may do: these did not come, or cannot be read. What does not answer in time or sends
 * too much does so again.
 * @param {unknown} fault
 */
export function isOfResults(fault) {
  return isRefused(fault) || (fault instanceof ResultsFault && !(fault.cause instanceof LoadingStopped));
}

/**
 * Refuses a file that is of another version than this script.
 * @param {boolean} holds
 * @param {string} file its name
 */
function holdVersion(holds, file) {
  if (!holds) throw new LoadFault('error.other_version', null, file);
}

/**
 * The version in a mark, such as `0.1.0+0123456789abcdef`; empty where there is none.
 * @param {unknown} mark
 */
const versionFrom = (mark) => String(mark).split(' ')[1] ?? '';

/**
 * The version in a parsed file; empty for one that this program did not write.
 * @param {unknown} file
 */
function versionIn(file) {
  if (typeof file !== 'object' || file === null || !Object.hasOwn(file, MARK)) return '';
  return versionFrom(/** @type {Record<string, unknown>} */ (file)[MARK]);
}

/**
 * Whether a text catalogue is of this version and has as many texts as the script asks for.
 * @param {Catalogue | null} catalogue
 */
function isWhole(catalogue) {
  return versionIn(catalogue) === version && Object.keys(catalogue?.texts ?? {}).length >= textCount;
}

/** @param {WebAssembly.Module} module */
function versionOf(module) {
  const [section] = WebAssembly.Module.customSections(module, MARK);
  return versionFrom(new TextDecoder().decode(section));
}

/** What the mark of every file begins with. */
const MARK_START = 'Jobtorque ';

/**
 * Whether results are of this version of the program, of whichever build: what is in them depends on
 * the program alone. Results without a mark are refused by the module, in words that say what to run.
 * @param {string} text
 */
function isReadable(text) {
  const program = (/** @type {string} */ version) => version.split('+')[0];
  const mark = text.slice(0, text.indexOf('\n') + 1);
  return !mark.startsWith(MARK_START) || program(versionFrom(mark)) === program(version);
}

/**
 * The address of the results as the module reads them, beside the JSON that an address names. One that ends
 * otherwise is read as it is.
 * @param {string} address
 * @param {string} edition see `Source`
 */
function packedAt(address, edition) {
  const url = new URL(address, document.baseURI);
  const ending = edition ? RESULTS_ENDING.replace('.', `-${edition}.`) : RESULTS_ENDING;
  url.pathname = url.pathname.replace(/\.(json|txt)$/, ending);
  return url.href;
}

/**
 * The name of the file that is loaded for an address; that of the dataset of the site where there is
 * none.
 * @param {string} address
 * @param {string} edition see `Source`
 */
const fileOf = (address, edition) =>
  (address && packedAt(address, edition).split(/[?#]/)[0]?.split('/').pop()) || 'results.txt';

/**
 * What a source is found by. A number ends at the space.
 * @param {string} address
 * @param {string} edition see `Source`
 */
const keyOf = (address, edition) => `${edition} ${address}`;

/**
 * The source of an address, shared.
 * @param {string} address
 * @param {string | null} [edition] of a question, for which the first part has results of their own
 */
export function sourceOf(address, edition) {
  const own = isFirst && edition && /^[1-9]\d*$/.test(edition) ? edition : '';
  const key = keyOf(address, own);
  const source = sources.get(key) ?? new Source(address, own);
  sources.set(key, source);
  return source;
}

/**
 * Whether the instance itself failed, and not the question.
 * @param {unknown} fault
 */
export function isTrap(fault) {
  return fault instanceof WebAssembly.RuntimeError || fault instanceof RangeError;
}

/** @param {WebAssembly.Module} module */
function start(module) {
  initSync({ module });
  generation += 1;
}

async function compile() {
  // The module that stands in a page is the whole one.
  const block = isFirst ? null : document.getElementById('jobtorque-module')?.textContent;
  if (block) {
    const { bytes, isIntact } = bytesOf(block);
    if (isIntact) return WebAssembly.compile(bytes);
    throw new Error('the module in the page is damaged');
  }
  return WebAssembly.compile(await loadedBytes(new URL(moduleFile, import.meta.url).href));
}

/**
 * The bytes of module or results in a text, and whether they are as they were written. After a line that
 * says who wrote it, if there is one, come their hash in hexadecimal, the characters of the 256 bytes, and
 * the bytes in these characters (`byte_text.rs`).
 * @param {string} text
 */
function bytesOf(text) {
  const hashed = text.indexOf('\n') + 1;
  const characters = hashed + HASH_LENGTH;
  const start = characters + 256;
  const byteOf = new Uint8Array(CHARACTERS);
  for (let byte = 0; byte < 256; byte += 1) byteOf[text.charCodeAt(characters + byte)] = byte;
  const bytes = new Uint8Array(Math.max(text.length - start, 0));
  let hash = FNV_OFFSET;
  for (let at = 0; at < bytes.length; at += 1) {
    const byte = byteOf[text.charCodeAt(start + at)] ?? 0;
    bytes[at] = byte;
    hash = Math.imul(hash ^ byte, FNV_PRIME);
  }
  return { bytes, isIntact: hash >>> 0 === parseInt(text.slice(hashed, characters), 16) };
}

/**
 * The bytes of results in the text that is published, as the module takes them. It says itself what is
 * wrong with them.
 * @param {string} text
 */
export const resultsIn = (text) => bytesOf(text).bytes;

/**
 * The text at an address; that of a block of the page where there is no address, or nothing comes.
 * @param {string} id
 * @param {string} address
 */
async function textOf(id, address) {
  const block = document.getElementById(id)?.textContent;
  try {
    if (address) return { text: await loadedText(address), old: false };
  } catch (fault) {
    if (!block) throw fault;
  }
  if (!block) throw new Error(`no block ${id}`);
  return { text: block, old: address !== '' };
}
