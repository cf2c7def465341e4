// The networks and processors that pages are measured on.

/** By name; `null` for this machine as it is. */
export const CONDITIONS = {
  'this machine': null,
  '9 Mbit/s, 60 ms': { latency: 60, mbits: 9, slowed: 1 },
  '1.6 Mbit/s, 150 ms, processor slowed 4 times': { latency: 150, mbits: 1.6, slowed: 4 },
};

/** Slows a page down, by its session of the browser's protocol. */
export async function slowedAs(session, condition) {
  if (!condition) return;
  const throughput = (condition.mbits * 1e6) / 8;
  await session.send('Network.enable');
  await session.send('Network.emulateNetworkConditions', {
    offline: false,
    latency: condition.latency,
    downloadThroughput: throughput,
    uploadThroughput: throughput,
  });
  await session.send('Emulation.setCPUThrottlingRate', { rate: condition.slowed });
}
