import { describe, expect, it } from "vitest";
import { type RandomStream, randomStream } from "../../lib/num/random.js";
import { agreement } from "../../lib/stats/agreement.js";
import { pairedChange } from "../../lib/stats/change.js";
import type { Interval } from "../../lib/stats/estimate.js";
import { compareGroups } from "../../lib/stats/groups.js";
import { icc } from "../../lib/stats/icc.js";
import { signFlip } from "../../lib/stats/permutation.js";
import { reliability } from "../../lib/stats/reliability.js";
import { signedRank } from "../../lib/stats/signed-rank.js";

const draws = 4000;
const people = 12;
/** Four standard errors of a share of 0.95 in 4000 draws: one run in 16 000 strays by chance. */
const slack = 4 * Math.sqrt((0.95 * 0.05) / draws);

function normals(stream: RandomStream, count: number, mean = 0, sd = 1): number[] {
  return Array.from({ length: count }, () => mean + sd * stream.normal());
}

/** Share of simulated studies whose interval holds the truth. */
function coverage(name: string, truth: number, study: (stream: RandomStream) => Interval): number {
  const stream = randomStream(20260120, name);
  let held = 0;
  for (let draw = 0; draw < draws; draw++) {
    const { low, high } = study(stream);
    if (low <= truth && truth <= high) held++;
  }
  return held / draws;
}

function expectExact(share: number) {
  expect(share).toBeGreaterThan(0.95 - slack);
  expect(share).toBeLessThan(0.95 + slack);
}

/** People × trials with spread 5 between people, shifts of trials 0 and 1, error 2. */
function trials(stream: RandomStream): number[][] {
  return normals(stream, people, 45, 5).map((level) => [
    level + 2 * stream.normal(),
    level + 1 + 2 * stream.normal(),
  ]);
}

describe("95 % intervals at n = 12 hold the truth in 95 % of simulated studies", () => {
  it("paired t of the change", () => {
    const study = (stream: RandomStream) => {
      const before = normals(stream, people, 45, 8);
      const after = before.map((x) => x + 2 + 3 * stream.normal());
      return pairedChange(before, after).change.interval!;
    };
    expectExact(coverage("paired t", 2, study));
  });

  it("non-central t of dz", () => {
    const study = (stream: RandomStream) => {
      const before = normals(stream, people, 45, 8);
      const after = before.map((x) => x + 2 + 3 * stream.normal());
      return pairedChange(before, after).dzInterval!;
    };
    expectExact(coverage("dz", 2 / 3, study));
  });

  it("two-sample t with equal variances, and Welch's with a ratio of 9", () => {
    const equal = (stream: RandomStream) =>
      compareGroups(normals(stream, people, 3), normals(stream, 8), { variances: "equal" })
        .difference.interval!;
    expectExact(coverage("equal", 3, equal));
    const welch = (stream: RandomStream) =>
      compareGroups(normals(stream, people, 3, 3), normals(stream, people)).difference.interval!;
    // Welch's df are an approximation: published coverage at such sizes is 94–96 %
    const share = coverage("welch", 3, welch);
    expect(share).toBeGreaterThan(0.94 - slack);
    expect(share).toBeLessThan(0.96 + slack);
  });

  it("χ² of the typical error and F of ICC(3,1)", () => {
    expectExact(coverage("typical error", 2, (s) => reliability(trials(s)).typicalError.interval!));
    const truth = 25 / 29;
    expectExact(coverage("icc", truth, (s) => icc(trials(s))["ICC(3,1)"]!.interval!));
  });

  it("exact limits of agreement, where the approximation of 1986 falls short on the far side", () => {
    const study = (limitIntervals: "exact" | "1986") => (stream: RandomStream) =>
      agreement(normals(stream, people, 1, 2), normals(stream, people, 0, 1.5), { limitIntervals })
        .upper.interval!;
    const truth = 1 + 1.959963984540054 * 2.5;
    expectExact(coverage("limits", truth, study("exact")));
    // n = 12: the 1986 interval is symmetric about a limit whose error is not
    const old = coverage("limits 1986", truth, study("1986"));
    expect(old).toBeLessThan(0.95);
    expect(old).toBeGreaterThan(0.88);
  });

  it("Walsh averages of the pseudo-median, at the level their whole numbers reach", () => {
    const study = (stream: RandomStream) =>
      signedRank(normals(stream, people), normals(stream, people, 1)).pseudoMedian.interval!;
    // n = 12: the 14th of 78 averages from either end, 1 − 2 P(W ≤ 13) = 0.9575
    const share = coverage("walsh", 1, study);
    expect(Math.abs(share - 0.9575)).toBeLessThan(slack);
  });
});

describe("tests reject a true null hypothesis no more often than they say", () => {
  it("sign flip and signed rank at 5 %", () => {
    const stream = randomStream(20260121, "size");
    let flips = 0;
    let ranks = 0;
    for (let draw = 0; draw < draws; draw++) {
      const [before, after] = [normals(stream, 9, 45), normals(stream, 9, 45)];
      if (signFlip(before, after).p <= 0.05) flips++;
      if (signedRank(before, after).p <= 0.05) ranks++;
    }
    const most = 0.05 + 4 * Math.sqrt((0.05 * 0.95) / draws);
    expect(flips / draws).toBeLessThan(most);
    expect(ranks / draws).toBeLessThan(most);
    expect(flips / draws).toBeGreaterThan(0.03);
  });
});
