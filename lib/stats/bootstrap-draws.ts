import { InputError } from "../errors.js";
import type { RandomStream } from "../num/random.js";
import type { Labels, Numbers } from "./estimate.js";
import { labels, numbers, sameLength } from "./input.js";
import { groupRows } from "./people.js";

/**
 * A statistic of some columns. It receives the columns in the order given, all of one length, and
 * for each row the number of the unit drawn it belongs to (0, 1, 2 …): a person drawn twice has
 * two numbers there, so that a statistic which works person by person counts them as two.
 */
export type Statistic = (columns: Float64Array[], unit: Int32Array) => number;

/** What a resample is made of: rows, or whole people, drawn within each stratum. */
export interface Units {
  readonly count: number;
  /** Rows of unit u are `rows[start[u]]` up to, not including, `rows[start[u + 1]]`. */
  readonly start: Int32Array;
  readonly rows: Int32Array;
  /** Units of each stratum; one list of all of them without strata. */
  readonly strata: readonly Int32Array[];
  readonly strataNames: readonly string[];
  /** "rows", or "clusters" when whole clusters are drawn. */
  readonly of: "rows" | "clusters";
}

/** Checks the columns of a resampling function: at least one, all of one length of two or more. */
export function resampledColumns(columns: ArrayLike<Numbers>, where: string): Float64Array[] {
  if (!Array.isArray(columns) || columns.length === 0) {
    throw new InputError({
      expected: "a list of one or more columns",
      got: Array.isArray(columns) ? "an empty list" : typeof columns,
      where: `${where}, columns`,
    });
  }
  const checked = columns.map((column, c) => numbers(column, `${where}, column ${c}`, 2));
  for (const [c, column] of checked.entries()) {
    sameLength(column.length, checked[0]!.length, `${where}, column ${c}`);
  }
  return checked;
}

function rowsOfUnits(
  n: number,
  clusters: string[] | undefined,
): { start: Int32Array; rows: Int32Array } {
  if (!clusters) {
    const each = Int32Array.from({ length: n + 1 }, (_, i) => i);
    return { start: each, rows: each.subarray(0, n) };
  }
  const groups = [...groupRows(clusters).values()];
  const start = new Int32Array(groups.length + 1);
  for (const [u, group] of groups.entries()) start[u + 1] = start[u]! + group.length;
  return { start, rows: Int32Array.from(groups.flat()) };
}

/** The stratum of each unit; a cluster must lie whole in one stratum. */
function stratumNames(
  strata: string[],
  { start, rows }: { start: Int32Array; rows: Int32Array },
  where: string,
): string[] {
  const names: string[] = [];
  for (let u = 0; u + 1 < start.length; u++) {
    const name = strata[rows[start[u]!]!]!;
    for (let k = start[u]!; k < start[u + 1]!; k++) {
      if (strata[rows[k]!] !== name) {
        throw new InputError({
          expected: "every cluster to lie in one stratum",
          got: `a cluster in "${name}" and "${strata[rows[k]!]}"`,
          where: `${where}, strata, index ${rows[k]}`,
        });
      }
    }
    names.push(name);
  }
  return names;
}

/**
 * The units that a resample draws from `n` rows.
 * @throws InputError when there are fewer than two units or a cluster spans two strata.
 */
export function resamplingUnits(
  n: number,
  { clusters, strata }: { clusters?: Labels | undefined; strata?: Labels | undefined },
  where: string,
): Units {
  const people = clusters && labels(clusters, `${where}, clusters`, n);
  const layout = rowsOfUnits(n, people);
  const count = layout.start.length - 1;
  if (count < 2) {
    throw new InputError({
      expected: "two or more clusters",
      got: "1",
      where: `${where}, clusters`,
    });
  }
  const arms = strata && labels(strata, `${where}, strata`, n);
  const groups = arms
    ? groupRows(stratumNames(arms, layout, where))
    : new Map([["all", Array.from({ length: count }, (_, u) => u)]]);
  return {
    count,
    ...layout,
    strata: [...groups.values()].map((units) => Int32Array.from(units)),
    strataNames: [...groups.keys()],
    of: people ? "clusters" : "rows",
  };
}

/** Rows gathered for one call of the statistic; the arrays are used again for the next. */
export interface Sample {
  readonly columns: Float64Array[];
  readonly unit: Int32Array;
}

/** Draws, gathers and leaves out units of the same columns, in buffers that are made once. */
export interface Resampler {
  readonly units: Units;
  /** All units, as they came. */
  whole(): Sample;
  /** A new draw of as many units from each stratum as it has, with replacement. */
  draw(stream: RandomStream): Sample;
  /** The last draw (or `whole`) gathered once more, for a statistic that may have sorted its columns. */
  again(): Sample;
  /** The last draw (or `whole`) without one of its places. */
  without(place: number): Sample;
}

/** Buffers for gathered rows, with views of each length that comes up. */
function sampleBuffers(columns: number, room: number) {
  const buffers = Array.from({ length: columns }, () => new Float64Array(room));
  const unit = new Int32Array(room);
  const views = new Map<number, Sample>();
  const view = (length: number): Sample => {
    const known = views.get(length);
    if (known) return known;
    const made = {
      columns: buffers.map((buffer) => buffer.subarray(0, length)),
      unit: unit.subarray(0, length),
    };
    views.set(length, made);
    return made;
  };
  return { buffers, unit, view };
}

/** Makes the resampler of these columns and units. */
export function resampler(columns: readonly Float64Array[], units: Units): Resampler {
  const { count, start, rows, strata, of } = units;
  let largest = 0;
  for (let u = 0; u < count; u++) largest = Math.max(largest, start[u + 1]! - start[u]!);
  const room = largest * count;
  const { buffers, unit, view } = sampleBuffers(columns.length, room);
  const sourceRows = new Int32Array(room);
  const picks = new Int32Array(count);
  const draws = strata.map((members) => new Int32Array(members.length));

  /** Lists the rows of the picked units and returns how many there are. */
  const listRows = (skipped: number): number => {
    let length = 0;
    let number = 0;
    for (let place = 0; place < count; place++) {
      if (place === skipped) continue;
      const picked = picks[place]!;
      const end = start[picked + 1]!;
      for (let k = start[picked]!; k < end; k++) {
        sourceRows[length] = rows[k]!;
        unit[length++] = number;
      }
      number++;
    }
    return length;
  };

  const gather = (source: Int32Array, length: number): Sample => {
    for (let c = 0; c < columns.length; c++) {
      const from = columns[c]!;
      const to = buffers[c]!;
      for (let i = 0; i < length; i++) to[i] = from[source[i]!]!;
    }
    return view(length);
  };

  const without = (skipped: number) => gather(sourceRows, listRows(skipped));
  // Single rows need no list: the pick is the row, and each is its own unit.
  for (let i = 0; i < count; i++) unit[i] = i;
  const again = of === "rows" ? () => gather(picks, count) : () => without(-1);

  const drawWithin = (stream: RandomStream): void => {
    for (const [s, members] of strata.entries()) {
      const drawn = stream.fillIndices(draws[s]!, members.length);
      for (let i = 0; i < drawn.length; i++) picks[members[i]!] = members[drawn[i]!]!;
    }
  };

  return {
    units,
    whole() {
      for (let u = 0; u < count; u++) picks[u] = u;
      return again();
    },
    draw(stream) {
      if (strata.length === 1) stream.fillIndices(picks, count);
      else drawWithin(stream);
      return again();
    },
    again,
    without,
  };
}
