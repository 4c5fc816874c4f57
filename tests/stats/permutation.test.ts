import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { signFlip } from "../../lib/stats/permutation.js";
import { signedRank } from "../../lib/stats/signed-rank.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const exact = { rel: 1e-14, why: "counts of arrangements are whole numbers" };
const zerosFor = (changes: readonly number[]) => changes.map(() => 0);

describe("signedRank", () => {
  const depression = referenceCase("paired", "depression");
  const sleep = referenceCase("paired", "sleep");
  const ties = referenceCase("paired", "ties_and_zeros");
  const fifty = referenceCase("paired", "fifty");

  it("gives Hollander and Wolfe's depression example (1973): V, p, estimate and interval", () => {
    const { x_first_visit: x, y_second_visit: y } = depression.data;
    const result = signedRank(y, x); // the book's example in R takes first − second
    agreesAsPrinted(result.statistic, depression, "V");
    agreesAsPrinted(result.p, depression, "two-sided p");
    agreesAsPrinted(
      -result.pseudoMedian.value,
      depression,
      "Hodges-Lehmann estimate (sign reversed)",
    );
    agreesAsPrinted(result.pseudoMedian.interval!.low, depression, "CI lower");
    agreesAsPrinted(result.pseudoMedian.interval!.high, depression, "CI upper");
    expect(result).toMatchObject({ exact: true, zeros: 0, tied: 0, n: 9 });
    const forward = signedRank(x, y);
    expect(forward.statistic).toBe(45 - 40);
    expect(forward.p).toBe(result.p);
    expect(forward.pseudoMedian.value).toBe(-result.pseudoMedian.value);
  });

  it("drops and counts the zero of the sleep data, and takes midranks of its tie", () => {
    const { drug1, drug2 } = sleep.data;
    const result = signedRank(drug1, drug2);
    const value = (name: string) => sleep.computed[name]!.value;
    expect(result.statistic).toBe(value("wilcoxon_V_g2_minus_g1_zero_dropped"));
    const name = "wilcoxon_exact_p_two_sided_zero_dropped_midranks_enumeration_2^9";
    agrees(result.p, value(name), { quantity: "exact p", ...exact });
    agrees(
      result.pseudoMedian.value,
      value("hodges_lehmann_median_of_Walsh_averages_zero_dropped_9"),
      { quantity: "pseudo-median without the zero", ...exact },
    );
    expect(result).toMatchObject({ zeros: 1, tied: 2, exact: true });
    const ranked = signedRank(drug1, drug2, { zeros: "ranked" }).pseudoMedian.value;
    agrees(ranked, value("hodges_lehmann_median_of_Walsh_averages_all_10_including_zero"), {
      quantity: "pseudo-median with the zero",
      ...exact,
    });
  });

  it("counts every sign with ties and zeros, dropped and by Pratt", () => {
    const { change } = ties.data;
    const dropped = signedRank(zerosFor(change), change);
    expect(dropped.statistic).toBe(ties.computed.V!.value);
    agrees(dropped.p, ties.computed.exact_p!.value, { quantity: "p, zeros dropped", ...exact });
    expect(dropped).toMatchObject({ n: 18, zeros: 2 });
    const ranked = signedRank(zerosFor(change), change, { zeros: "ranked" });
    expect(ranked.statistic).toBe(ties.computed.pratt_V!.value);
    agrees(ranked.p, ties.computed.pratt_p!.value, { quantity: "p by Pratt", ...exact });
  });

  it("is exact up to 50 changes, interval too, and says when it no longer is", () => {
    const { change } = fifty.data;
    const result = signedRank(zerosFor(change), change);
    const near = { rel: 1e-13, why: "R gives 15 digits" };
    expect(result.exact).toBe(true);
    expect(result.statistic).toBe(fifty.computed.V!.value);
    agrees(result.p, fifty.computed.p!.value, { quantity: "p", ...near });
    agrees(result.pseudoMedian.value, fifty.computed.pseudomedian!.value, {
      quantity: "pseudo-median",
      ...near,
    });
    const { low, high } = result.pseudoMedian.interval!;
    expect([low, high]).toEqual(fifty.computed.ci95!.value);
    const more = [...change, 51];
    const beyond = signedRank(zerosFor(more), more);
    expect(beyond.exact).toBe(false);
    expect(beyond.method).toContain("normal approximation");
  });

  it("beyond 50 takes the tie-corrected normal approximation with a continuity correction", () => {
    // two copies of 30 barley plots' changes: 60 changes, every one tied
    const { tenths } = referenceCase("paired", "immer").computed;
    const twice = [...tenths!.value, ...tenths!.value];
    const result = signedRank(zerosFor(twice), twice);
    // ranks of the doubled sample are 2r − ½, so W, its centre and its variance follow from those of 30
    const sizes = tenths!.value.map(Math.abs);
    const rank = (i: number) =>
      sizes.filter((s: number) => s < sizes[i]).length +
      (sizes.filter((s: number) => s === sizes[i]).length + 1) / 2;
    const ranks: number[] = sizes.map((_: number, i: number) => 2 * rank(i) - 0.5);
    const w = 2 * ranks.reduce((total, r, i) => total + (tenths!.value[i] > 0 ? r : 0), 0);
    const sd = Math.sqrt((2 * ranks.reduce((total, r) => total + r * r, 0)) / 4);
    const z = (Math.abs(w - (60 * 61) / 4) - 0.5) / sd;
    expect(result.statistic).toBeCloseTo(w, 9);
    expect(result.tied).toBe(60);
    // upper normal tail at z by its continued fraction (Abramowitz & Stegun 26.2.14)
    let fraction = z;
    for (let k = 80; k >= 1; k--) fraction = z + k / fraction;
    const tail = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI) / fraction;
    agrees(result.p, 2 * tail, { quantity: "p", rel: 1e-12, why: "80 terms of the fraction" });
    const { low, high } = result.pseudoMedian.interval!;
    expect(low).toBeLessThan(result.pseudoMedian.value);
    expect(high).toBeGreaterThan(result.pseudoMedian.value);
  });

  it("lets changes that differ by rounding alone tie, and calls them zero when they are", () => {
    const result = signedRank([0.7, 1, 0.1 + 0.2, 5], [1.9, 2.2, 0.3, 2]);
    expect(1.9 - 0.7).not.toBe(2.2 - 1);
    expect(result).toMatchObject({ zeros: 1, tied: 2, statistic: 3 });
  });

  it.each([
    ["lower tail, odd doubled statistic", [1, -1, 2, -3, -4, -5, 6]],
    ["lower tail, even doubled statistic", [1, -2, 3, -4, -5, -6, 7]],
    ["upper tail, odd doubled statistic", [-1, 1, -2, 3, 4, 5, -6]],
    ["upper tail, even doubled statistic", [-1, 2, -3, 4, 5, 6, -7]],
    ["a statistic in the centre, where p is 1", [1, -2, -3, 4]],
  ])("counts the observed arrangement in its tail: %s", (name, changes) => {
    // Ranks written out: each size once, or the two smallest sharing 1.5.
    const shared = changes.filter((d) => Math.abs(d) === 1).length === 2;
    const ranks = changes.map((_, i) => (shared && i < 2 ? 1.5 : i + 1));
    const sumOf = (positive: (i: number) => boolean) =>
      ranks.reduce((total, rank, i) => total + (positive(i) ? rank : 0), 0);
    const observed = sumOf((i) => changes[i]! > 0);
    const all = Array.from({ length: 2 ** ranks.length }, (_, signs) =>
      sumOf((i) => ((signs >> i) & 1) === 1),
    );
    const lower = all.filter((w) => w <= observed).length / all.length;
    const upper = all.filter((w) => w >= observed).length / all.length;
    if (name.includes("tail")) expect(lower < upper).toBe(name.startsWith("lower"));
    const result = signedRank(zerosFor(changes), changes);
    expect(result.statistic).toBe(observed);
    expect((2 * observed) % 2 === 1).toBe(name.includes("odd"));
    agrees(result.p, Math.min(1, 2 * Math.min(lower, upper)), { quantity: "exact p", ...exact });
  });

  it("says when so few changes cannot reach the level", () => {
    const result = signedRank([0, 0, 0, 0], [1, 2, 4, 8]);
    expect(result.p).toBe(0.125);
    expect(result.pseudoMedian.interval).toMatchObject({ low: 1, high: 8 });
    expect(result.warnings[0]).toContain("87.5 %");
    const none = signedRank([3, 4, 5], [3, 4, 5]);
    expect(none).toMatchObject({ p: 1, statistic: 0, zeros: 3, pseudoMedian: { value: 0 } });
    expect(none.warnings).toHaveLength(1);
  });

  it("moves its estimate with the unit, keeps p, and mirrors", () => {
    const change = fc.integer({ min: -60, max: 80 });
    fc.assert(
      fc.property(fc.array(change, { minLength: 2, maxLength: 30 }), (tenths) => {
        const changes = tenths.map((x) => x / 10);
        const plain = signedRank(zerosFor(changes), changes);
        const order = [...changes].reverse().map((x) => 9.80665 * x);
        const moved = signedRank(zerosFor(order), order);
        expect(moved.p).toBeCloseTo(plain.p, 12);
        expect(moved.statistic).toBe(plain.statistic);
        expect(moved.pseudoMedian.value).toBeCloseTo(9.80665 * plain.pseudoMedian.value, 9);
        const back = signedRank(changes, zerosFor(changes));
        expect(back.p).toBe(plain.p);
        expect(back.pseudoMedian.value).toBeCloseTo(-plain.pseudoMedian.value, 12);
        expect(plain.p).toBeGreaterThan(0);
      }),
      { seed: 20260110, numRuns: 80 },
    );
  });
});

describe("signFlip", () => {
  const cases = [
    ["sleep", "paired_sign_flip_permutation_exact_p_two_sided_2^10"],
    ["depression", "paired_sign_flip_permutation_exact_p_two_sided"],
    ["ties_and_zeros", "sign_flip_p"],
    ["twenty_four", "sign_flip_p"],
  ] as const;
  for (const [id, name] of cases) {
    it(`counts every arrangement as enumeration in R does: ${id}`, () => {
      const { data, computed } = referenceCase("paired", id);
      const after = data.change ?? data.drug2 ?? data.x_first_visit;
      const before = data.drug1 ?? data.y_second_visit ?? zerosFor(after);
      const result = signFlip(before, after);
      agrees(result.p, computed[name]!.value, { quantity: "p", ...exact });
      expect(result.exact).toBe(true);
    });
  }

  it("counts every arrangement of 24 changes", () => {
    const { change } = referenceCase("paired", "twenty_four").data;
    expect(signFlip(zerosFor(change), change).arrangements).toBe(2 ** 24);
  });

  it("beyond 24 changes draws with a seed: the same p again, near the exact one", () => {
    const change = Array.from({ length: 25 }, (_, i) => 2 * ((i * 7) % 11) - 9);
    const drawn = () => signFlip(zerosFor(change), change, { resamples: 20_000, seed: 7 });
    const first = drawn();
    expect(first.exact).toBe(false);
    expect(drawn()).toEqual(first);
    // 25 small odd numbers: the exact p by convolution of their sums
    let counts = new Map([[0, 1]]);
    for (const d of change) {
      const next = new Map<number, number>();
      for (const [total, count] of counts) {
        for (const to of [total - d, total + d]) next.set(to, (next.get(to) ?? 0) + count);
      }
      counts = next;
    }
    const observed = Math.abs(change.reduce((total, d) => total + d, 0));
    let hits = 0;
    for (const [total, count] of counts) if (Math.abs(total) >= observed) hits += count;
    const p = hits / 2 ** 25;
    expect(Math.abs(first.p - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / 20_000));
  });

  it("needs a seed to draw, and none to count", () => {
    const change = Array.from({ length: 30 }, (_, i) => i + 1);
    expect(() => signFlip(zerosFor(change), change)).toThrow(
      "signFlip, seed: expected a whole number",
    );
    expect(signFlip([1, 1], [1, 1])).toMatchObject({ p: 1, exact: true });
  });

  it("does not count rounding as distance: decimal changes tie with their mirror", () => {
    // 1.2, 1.2, −1.2 and 5: eight of the sixteen sums lie as far out as 6.2
    const { p } = signFlip([0.7, 1, 1.9, 0], [1.9, 2.2, 0.7, 5]);
    expect(p).toBe(0.5);
  });

  it("gives a p between 2⁻ᵐ and 1 that no unit or order moves", () => {
    const changes = fc.array(fc.integer({ min: -50, max: 60 }), { minLength: 2, maxLength: 16 });
    fc.assert(
      fc.property(changes, (tenths) => {
        const change = tenths.map((x) => x / 10);
        const plain = signFlip(zerosFor(change), change);
        const moved = [...change].reverse().map((x) => -2.2 * x);
        expect(signFlip(zerosFor(moved), moved).p).toBe(plain.p);
        expect(plain.p).toBeGreaterThanOrEqual(2 / 2 ** change.length);
        expect(plain.p).toBeLessThanOrEqual(1);
      }),
      { seed: 20260111, numRuns: 60 },
    );
  });
});
