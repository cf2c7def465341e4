/**
 * The pairs laid over the chart as one text, for an attribute and an address: `tool/pack tool/pack`,
 * each part with per cent signs for what would not stay apart.
 */

/** @typedef {import('./jobtorque.js').PairIds} PairIds */

/** How many pairs there is room for; one more takes the place of the first. */
const MOST_BESIDE = 4;

/**
 * The pairs of a text. What is no pair stays in it, for the answer to say so.
 * @param {string | null} text
 * @returns {PairIds[]}
 */
export function pairsIn(text) {
  const pairs = text?.split(/\s+/).filter(Boolean) ?? [];
  return pairs.map((pair) => {
    const [tool = '', pack = ''] = pair.split('/', 2).map(decoded);
    return { tool, pack };
  });
}

/**
 * The text of pairs; `null` for none.
 * @param {PairIds[]} pairs
 */
export function pairsText(pairs) {
  const part = encodeURIComponent;
  return pairs.map(({ tool, pack }) => `${part(tool)}/${part(pack)}`).join(' ') || null;
}

/**
 * Whether a pair is among others.
 * @param {PairIds[]} pairs
 * @param {PairIds} pair
 */
export function hasPair(pairs, pair) {
  return pairs.some((other) => isSamePair(other, pair));
}

/**
 * The choice that lays a pair over the chart.
 * @param {PairIds[]} pairs those that lie there
 * @param {PairIds} pair
 */
export function withPair(pairs, pair) {
  const others = pairs.filter((other) => !isSamePair(other, pair));
  return { beside: pairsText([...others, pair].slice(-MOST_BESIDE)) };
}

/**
 * The choice that takes a pair away from the chart.
 * @param {PairIds[]} pairs those that lie there
 * @param {PairIds} pair
 */
export function withoutPair(pairs, pair) {
  return { beside: pairsText(pairs.filter((other) => !isSamePair(other, pair))) };
}

/**
 * @param {PairIds} one
 * @param {PairIds} other
 */
function isSamePair(one, other) {
  return one.tool === other.tool && one.pack === other.pack;
}

/** @param {string} part */
function decoded(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
