/** The middle of some numbers. @param {number[]} numbers */
export function median(numbers) {
  const sorted = [...numbers].sort((a, b) => a - b);
  const middle = sorted.length / 2;
  return (sorted[Math.floor(middle)] + sorted[Math.ceil(middle) - 1]) / 2;
}
