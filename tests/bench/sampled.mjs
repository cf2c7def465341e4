/**
 * A run's build-up curve at some times in s, in N·m, from its published knots.
 */
export function sampled({ first_us, tick_us, step, rise_dnm }, times) {
  let [time, torque] = [first_us, 0];
  const knots = step.map((ticks, i) => {
    time += tick_us * ticks;
    torque += rise_dnm[i];
    return [time / 1e6, torque / 10];
  });
  let k = 0;
  return times.map((at) => {
    while (k < knots.length - 2 && knots[k + 1][0] < at) k += 1;
    const [[t0, y0], [t1, y1]] = [knots[k], knots[k + 1]];
    return y0 + ((y1 - y0) * (Math.min(Math.max(at, t0), t1) - t0)) / (t1 - t0 || 1);
  });
}
