/**
 * Reading one entry that the program knows to be there. An index outside a list, or a value that is
 * missing after all, is a fault of the program: it is thrown at once, never carried on as NaN or
 * undefined. Columns of numbers have functions of their own, because one function that reads every
 * kind of list makes the inner loops of the statistics several times slower.
 */

function outside(index: number, length: number): RangeError {
  return new RangeError(`index ${index} is outside a list of ${length}`);
}

/** The number at `index` of a column of doubles. */
export function realAt(column: Float64Array, index: number): number {
  const value = column[index];
  if (value === undefined) throw outside(index, column.length);
  return value;
}

/** The whole number at `index` of a column of codes or counts. */
export function wholeAt(
  column: Int32Array | Uint32Array | Uint16Array | Uint8Array,
  index: number,
): number {
  const value = column[index];
  if (value === undefined) throw outside(index, column.length);
  return value;
}

/** The byte at `index` of a file. Apart from `wholeAt`, because a file's bytes are a class of their own. */
export function byteAt(bytes: Uint8Array, index: number): number {
  const value = bytes[index];
  if (value === undefined) throw outside(index, bytes.length);
  return value;
}

/** The item at `index` of a list. */
export function itemAt<T>(list: ArrayLike<T>, index: number): T {
  const item = list[index];
  if (item === undefined) throw outside(index, list.length);
  return item;
}

/** A value that cannot be missing here. */
export function present<T>(value: T | null | undefined): T {
  if (value === undefined || value === null) throw new TypeError("a value is missing");
  return value;
}
