/**
 * Fetching with limits, so that a page neither waits without end nor reads without end.
 */

/** The largest file that is read, in bytes. */
const MOST_BYTES = 64_000_000;
/** How long nothing may come before the request is given up, in milliseconds. */
const LONGEST_SILENCE_MS = 10_000;

/** What could not be loaded before. @type {Set<string>} */
const failedBefore = new Set();

/** The first paint of a page is waited for no longer than this, in milliseconds: in the background none comes. */
const LONGEST_UNPAINTED_MS = 100;

/** When what stands finished in the page has been painted, or is not going to be. @returns {Promise<void>} */
export function painted() {
  return new Promise((resolve) => {
    setTimeout(resolve, LONGEST_UNPAINTED_MS);
    if (performance.getEntriesByType('paint').length > 0) resolve();
    else requestAnimationFrame(() => setTimeout(resolve));
  });
}

/** Why a request was given up, as the key of a text for visitors. */
export class LoadingStopped extends Error {
  /** @param {'error.silent' | 'error.too_large'} key */
  constructor(key) {
    super(key);
    this.key = key;
  }
}

/**
 * The bytes at an address. The request is aborted when nothing comes for ten seconds, and as soon as
 * the stated or the counted size is above the limit.
 * @param {string} address
 */
export async function loadedBytes(address) {
  const controller = new AbortController();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  const waitAgain = () => {
    clearTimeout(timer);
    timer = setTimeout(() => controller.abort(new LoadingStopped('error.silent')), LONGEST_SILENCE_MS);
  };
  try {
    waitAgain();
    const cache = failedBefore.has(address) ? 'reload' : 'default';
    const response = await fetch(address, { cache, signal: controller.signal });
    if (!response.ok) throw new Error(`${response.status} ${response.url}`);
    const checkSize = (/** @type {number} */ bytes) => {
      if (bytes > MOST_BYTES) throw new LoadingStopped('error.too_large');
    };
    checkSize(Number(response.headers.get('content-length')));
    const reader = response.body?.getReader();
    /** @type {Uint8Array<ArrayBuffer>[]} */
    const pieces = [];
    let size = 0;
    for (;;) {
      waitAgain();
      const piece = await reader?.read();
      if (!piece?.value) break;
      size += piece.value.byteLength;
      checkSize(size);
      pieces.push(piece.value);
    }
    return await new Blob(pieces).arrayBuffer();
  } catch (fault) {
    failedBefore.add(address);
    controller.abort();
    throw fault;
  } finally {
    clearTimeout(timer);
  }
}

/**
 * The text at an address.
 * @param {string} address
 */
export async function loadedText(address) {
  return new TextDecoder().decode(await loadedBytes(address));
}
