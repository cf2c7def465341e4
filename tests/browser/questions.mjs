// Questions drawn at random, the same in every run, in the words of the page's attributes and of the command line.

/** A small seeded generator (mulberry32), so that every run asks the same questions. @param {number} seed */
export function random(seed) {
  let state = seed;
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  return {
    next,
    pick: (list) => list[Math.floor(next() * list.length)],
    maybe: (chance, value) => (next() < chance ? value() : null),
  };
}

/** A torque as people write one. */
export function torque({ next }) {
  const newtonMetres = Math.exp(Math.log(20) + next() * Math.log(100));
  return next() < 0.5 ? `${newtonMetres.toFixed(2)} N·m` : `${(newtonMetres / 1.356).toFixed(1)} lbf·ft`;
}

/** What may be asked besides tool and pack. */
export function job(drawn, data) {
  const { next, pick, maybe } = drawn;
  const wanted = next() < 0.3 ? pick(data.jobs).id : torque(drawn);
  const direction = maybe(0.3, () => pick(['loosen', 'tighten']));
  const stated = data.jobs.find(({ id }) => id === wanted)?.direction;
  return {
    job: wanted,
    direction,
    condition:
      (direction ?? stated ?? 'loosen') === 'loosen'
        ? maybe(0.3, () => String(1 + Math.round(next() * 200) / 100))
        : null,
    loss: maybe(0.2, () => String(Math.round(next() * 300) / 10)),
    within: maybe(0.2, () => String(Math.round(1 + next() * 490) / 100)),
    score: maybe(0.3, () => pick(['typical', 'best-of-three'])),
    setup: maybe(0.2, () => pick(data.setups).id),
    edition: maybe(0.3, () => String(pick(data.editions).edition)),
    units: maybe(0.3, () => pick(['n-m', 'lbf-ft'])),
  };
}

/** Options of the command line. @param {Record<string, string | null>} question */
export const options = (question) =>
  Object.entries(question)
    .filter(([, value]) => value !== null)
    .flatMap(([name, value]) => (name === 'direction' ? [`--${value}`] : [`--${name}`, value]));

/** Does something for each of a list, two at a time. */
export async function byTwos(list, work) {
  const done = [];
  for (let from = 0; from < list.length; from += 2) {
    done.push(...(await Promise.all(list.slice(from, from + 2).map(work))));
  }
  return done;
}
