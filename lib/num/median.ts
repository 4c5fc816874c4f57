/**
 * The median of the first `count` values, which are put in order: no room is needed beside them, so
 * that a million short series cost nothing. Half-way between the middle two of an even count, as
 * Hyndman & Fan's definition 7 has it; NaN of none.
 */
export function medianInPlace(values: Float64Array, count: number = values.length): number {
  if (count > 48) values.subarray(0, count).sort();
  else insertionSort(values, count);
  const upper = values[count >> 1];
  if (count === 0 || upper === undefined) return Number.NaN;
  if (count % 2 === 1) return upper;
  const lower = values[(count >> 1) - 1] ?? Number.NaN;
  return lower + 0.5 * (upper - lower);
}

function insertionSort(values: Float64Array, count: number): void {
  for (let i = 1; i < count; i++) {
    const value = values[i] ?? Number.NaN;
    let j = i;
    for (; j > 0 && (values[j - 1] ?? Number.NaN) > value; j--)
      values[j] = values[j - 1] ?? Number.NaN;
    values[j] = value;
  }
}
