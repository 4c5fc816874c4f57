import { expect, it } from "vitest";
import { type RepeatedValue, twoWayErrors } from "../../lib/stats/two-way-error.js";
import { withoutEachRow } from "../../lib/stats/without-each-row.js";

/** A list that counts how often one of its items is read. */
function counting<T>(items: readonly T[], count: () => void): readonly T[] {
  return new Proxy(items, {
    get(target, name, receiver) {
      if (typeof name === "string" && /^\d+$/.test(name)) count();
      return Reflect.get(target, name, receiver);
    },
  });
}

/** Reads that leaving everybody out takes, for n golfers. */
function readsOf(n: number, job: (list: <T>(items: readonly T[]) => readonly T[]) => void): number {
  let reads = 0;
  job((items) => counting(items, () => reads++));
  expect(reads, `${n} golfers`).toBeGreaterThan(0);
  return reads;
}

const golfers = (n: number) => Array.from({ length: n }, (_, i) => i);

it.each([
  [
    "a least-squares coefficient",
    (n: number) =>
      readsOf(n, (list) => {
        const x = golfers(n).map((i) => 30 + ((i * 7) % 23));
        const y = golfers(n).map((i) => 80 + ((i * 11) % 31));
        withoutEachRow([list(x.map(() => 1)), list(x)], list(y), [0, 1], 0.95);
      }),
  ],
  [
    "a typical error",
    (n: number) =>
      readsOf(n, (list) => {
        const values: RepeatedValue[] = golfers(n).flatMap((i) =>
          ["1", "2", "3"].map((trial, k) => ({
            person: `p${i}`,
            trial,
            value: 30 + ((i * 7) % 23) + ((i * (k + 2)) % 5),
          })),
        );
        twoWayErrors(list(values));
      }),
  ],
])("leaving everybody out of %s reads the data in proportion to golfers", (_name, reads) => {
  expect(reads(260) / reads(26)).toBeLessThan(12);
});
