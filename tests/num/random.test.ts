import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { chiSquared, normal } from "../../lib/num/distributions.js";
import { philoxBlocks, randomStream } from "../../lib/num/random.js";

/** Block of one counter under one key, as hexadecimal words. */
function block(counter: number[], key: [number, number]): string {
  const out = new Uint32Array(4);
  philoxBlocks(Uint32Array.from(counter), key[0], key[1], out);
  return Array.from(out, (word) => word.toString(16).padStart(8, "0")).join(" ");
}

/** Upper tail of Pearson's chi-squared for counts that should be equal. */
function evenness(counts: number[]): number {
  const expected = counts.reduce((a, b) => a + b) / counts.length;
  const statistic = counts.reduce((total, n) => total + (n - expected) ** 2 / expected, 0);
  return chiSquared(counts.length - 1).upper(statistic);
}

function countsOf(draw: () => number, kinds: number, draws: number): number[] {
  const counts = new Array<number>(kinds).fill(0);
  for (let i = 0; i < draws; i++) counts[draw()]!++;
  return counts;
}

describe("Philox4x32-10", () => {
  // the "philox4x32 10" lines of tests/kat_vectors in Random123, the authors' own library
  it("gives the authors' known answers", () => {
    const ones = 0xffffffff;
    expect(block([0, 0, 0, 0], [0, 0])).toBe("6627e8d5 e169c58d bc57ac4c 9b00dbd8");
    expect(block([ones, ones, ones, ones], [ones, ones])).toBe(
      "408f276d 41c83b0e a20bc7c6 6d5451fd",
    );
    expect(block([0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344], [0xa4093822, 0x299f31d0])).toBe(
      "d16cfe09 94fdcceb 5001e420 24126ea1",
    );
  });

  it("counts up as one number of 64 bits", () => {
    const counter = Uint32Array.of(0xffffffff, 7, 1, 2);
    const out = new Uint32Array(8);
    philoxBlocks(counter, 3, 4, out);
    expect(Array.from(counter)).toEqual([1, 8, 1, 2]);
    const next = new Uint32Array(4);
    philoxBlocks(Uint32Array.of(0, 8, 1, 2), 3, 4, next);
    expect(Array.from(out.subarray(4))).toEqual(Array.from(next));
  });
});

describe("random streams", () => {
  it("the unnamed stream of seed 0 starts with the first known answer", () => {
    const stream = randomStream(0);
    expect([1, 2, 3, 4].map(() => stream.uint32())).toEqual([
      0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8,
    ]);
  });

  it("depends on seed and name, and on nothing else", () => {
    const draws = (seed: number, name: string) => {
      const stream = randomStream(seed, name);
      return Array.from({ length: 300 }, () => stream.uint32()).join();
    };
    const alone = draws(7, "lead-grip");
    randomStream(7, "other").uint32();
    expect(draws(7, "lead-grip")).toBe(alone);
    const others = [
      draws(8, "lead-grip"),
      draws(7, "lead-grip "),
      draws(7, "lead-gri"),
      draws(7, ""),
    ];
    expect(new Set([alone, ...others]).size).toBe(5);
    expect(draws(7 + 2 ** 32, "lead-grip")).not.toBe(alone);
  });

  it("a child stream is the stream named by its path", () => {
    const child = randomStream(3, "boot").split("arm").split(12);
    expect(child.uint32()).toBe(randomStream(3, "boot/arm/12").uint32());
  });

  it("names of one letter's difference share nothing: their words agree as often as chance", () => {
    const words = (name: string) => {
      const stream = randomStream(1, name);
      return Array.from({ length: 2000 }, () => stream.uint32());
    };
    const [a, b] = [words("p1"), words("p2")];
    const equalBits = a!.reduce((count, word, i) => count + ones(~(word ^ b![i]!)), 0);
    // 64 000 fair coins: 5 standard deviations are 632
    expect(Math.abs(equalBits - 32000)).toBeLessThan(632);
  });

  it("uniform numbers lie in [0, 1) on a grid of 2⁻⁵³ and are even over it", () => {
    const stream = randomStream(11, "uniform");
    const drawn = Array.from({ length: 64000 }, () => stream.uniform());
    expect(drawn.filter((u) => !(u >= 0 && u < 1 && Number.isInteger(u * 2 ** 53)))).toEqual([]);
    let at = 0;
    const counts = countsOf(() => Math.floor(drawn[at++]! * 64), 64, drawn.length);
    expect(evenness(counts)).toBeGreaterThan(1e-4);
  });

  it("below(n) and fillIndices are even, also where n does not divide a power of two", () => {
    for (const n of [2, 3, 7, 20, 24, 1000]) {
      const stream = randomStream(5, `below ${n}`);
      expect(evenness(countsOf(() => stream.below(n), n, 100 * n))).toBeGreaterThan(1e-4);
      const drawn = stream.fillIndices(new Uint16Array(1000 * n), n);
      let at = 0;
      expect(evenness(countsOf(() => drawn[at++]!, n, drawn.length))).toBeGreaterThan(1e-4);
    }
  });

  it("successive indices are independent: all pairs are as frequent", () => {
    const drawn = randomStream(5, "pairs").fillIndices(new Int32Array(180000), 30);
    let at = 0;
    const pairs = countsOf(() => drawn[at++]! * 30 + drawn[at++]!, 900, 90000);
    expect(evenness(pairs)).toBeGreaterThan(1e-4);
  });

  it("below(n) stays below n for any n, past 2³² too", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: Number.MAX_SAFE_INTEGER }), fc.nat(), (n, seed) => {
        const index = randomStream(seed).below(n);
        expect(Number.isInteger(index) && index >= 0 && index < n).toBe(true);
        const filled = randomStream(seed).fillIndices(new Uint32Array(9), Math.min(n, 2 ** 32));
        expect(filled.every((i) => i < n)).toBe(true);
      }),
      { seed: 53, numRuns: 300 },
    );
  });

  it("normal deviates follow the normal law", () => {
    const stream = randomStream(9, "normal");
    const law = normal();
    const counts = countsOf(() => Math.floor(50 * law.cdf(stream.normal())), 50, 50000);
    expect(evenness(counts)).toBeGreaterThan(1e-4);
  });

  it("shuffling puts every order in every place as often", () => {
    const stream = randomStream(4, "orders");
    const orders = ["abc", "acb", "bac", "bca", "cab", "cba"];
    const draw = () => orders.indexOf(stream.shuffle(["a", "b", "c"]).join(""));
    expect(evenness(countsOf(draw, 6, 12000))).toBeGreaterThan(1e-4);
  });

  it("draws are pinned: a change of generator would change every recorded result", () => {
    const stream = randomStream(2024, "winter-block");
    expect(stream.uint32()).toBe(PINNED.uint32);
    expect(stream.uniform()).toBe(PINNED.uniform);
    expect(stream.below(24)).toBe(PINNED.below);
    expect(stream.normal()).toBeCloseTo(PINNED.normal, 13);
    expect(Array.from(stream.fillIndices(new Int32Array(8), 24))).toEqual(PINNED.indices);
    expect(stream.shuffle([1, 2, 3, 4, 5])).toEqual(PINNED.order);
  });

  it("refuses a seed or count that is no whole number", () => {
    expect(() => randomStream(1.5)).toThrow(/randomStream, seed: expected a whole number/);
    expect(() => randomStream(-1)).toThrow(InputError);
    expect(() => randomStream(2 ** 53)).toThrow(InputError);
    expect(() => randomStream(1).below(0)).toThrow(/whole number of at least 1, got 0/);
    expect(() => randomStream(1).fillIndices(new Int32Array(2), 2.5)).toThrow(InputError);
  });
});

function ones(word: number): number {
  let count = 0;
  for (let bits = word >>> 0; bits; bits &= bits - 1) count++;
  return count;
}

/** What the stream of seed 2024 named "winter-block" gives, in the order of the test above. */
const PINNED = {
  uint32: 2882992300,
  uniform: 0.23843107268735653,
  below: 18,
  normal: -1.1506833424693033,
  indices: [12, 7, 18, 8, 6, 14, 4, 22],
  order: [2, 4, 1, 3, 5],
};
