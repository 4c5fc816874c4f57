import { itemAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import type { RandomStream } from "../../num/random.js";
import type { Labels, Numbers } from "../estimate.js";
import { labels, numbers, sameLength } from "../input.js";
import { groupRows } from "../people.js";

/** What a resample is made of: rows, or whole people, drawn within each stratum. */
export interface Units {
  /** Number of units. */
  readonly count: number;
  /** Rows of unit u are `rows[start[u]]` up to, not including, `rows[start[u + 1]]`. */
  readonly start: Int32Array;
  /** Row numbers, unit by unit. */
  readonly rows: Int32Array;
  /** Units of each stratum; one list of all of them without strata. */
  readonly strata: readonly Int32Array[];
  /** Label of each stratum, in the order of `strata`. */
  readonly strataNames: readonly string[];
  /** What the jackknife leaves out at a time, by place: each unit, or a block of them. */
  readonly blockOf: Int32Array;
  /** Blocks of each stratum. */
  readonly blocks: readonly Int32Array[];
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
    sameLength(column.length, itemAt(checked, 0).length, `${where}, column ${c}`);
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
  for (const [u, group] of groups.entries()) start[u + 1] = wholeAt(start, u) + group.length;
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
    const name = itemAt(strata, wholeAt(rows, wholeAt(start, u)));
    for (let k = wholeAt(start, u); k < wholeAt(start, u + 1); k++) {
      if (strata[wholeAt(rows, k)] !== name) {
        throw new InputError({
          expected: "every cluster to lie in one stratum",
          got: `a cluster in "${name}" and "${strata[wholeAt(rows, k)]}"`,
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
  const members = [...groups.values()].map((units) => Int32Array.from(units));
  return {
    count,
    ...layout,
    strata: members,
    blockOf: Int32Array.from({ length: count }, (_, u) => u),
    blocks: members,
    strataNames: [...groups.keys()],
    of: people ? "clusters" : "rows",
  };
}

/** A stratum of more units than this is left out in blocks, so that cost stays linear in rows. */
const mostLeftOutSingly = 2000;
const blocksOfLargeStratum = 1000;

/**
 * The same units, those of large strata put at random into blocks of nearly one size. Leaving out
 * blocks instead of units estimates the same standard error and acceleration; the acceleration
 * from 1000 blocks has a standard error of √6/(6 · 1000) = 0.0004.
 */
export function inBlocks(units: Units, stream: RandomStream): Units {
  if (units.strata.every((members) => members.length <= mostLeftOutSingly)) return units;
  const blockOf = new Int32Array(units.count);
  let next = 0;
  const blocks = units.strata.map((members) => {
    const many = members.length > mostLeftOutSingly;
    const order = many ? stream.shuffle(Array.from(members)) : members;
    const count = many ? blocksOfLargeStratum : members.length;
    for (let i = 0; i < order.length; i++) blockOf[itemAt(order, i)] = next + (i % count);
    next += count;
    return Int32Array.from({ length: count }, (_, b) => next - count + b);
  });
  return { ...units, blockOf, blocks };
}
