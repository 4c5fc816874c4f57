import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { pool } from "../../lib/stats/pool/pool.js";
import { poolCorrelations } from "../../lib/stats/pool/pool-correlations.js";
import { publishedTable } from "../../lib/study/package/published.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { summariseSpeed } from "../../lib/study/tables/summary.js";
import { agrees } from "../reference/agree.js";
import { expectLedger, expectRange, meanOf, rawRows, withoutEachValue } from "./recorded.js";
import { faultless, simulatedStudy } from "./simulated.js";

/** Controlled gain in speed of one simulated study. */
function gainIn(seed: number, speedGainMph: number) {
  const arms = faultless().arms.map((arm) =>
    arm.control ? { ...arm, speedGainMph: 0 } : { ...arm, speedGainMph },
  );
  const { study } = simulatedStudy(faultless({ arms, seed, doseShare: 0, speedPerKgfWithin: 0 }));
  const pairs = beforeAfter(study, summariseSpeed(study, { rule: "mean" }), {
    before: "w0",
    after: "w6",
    value: "speed_mph",
  });
  return adjustForBaseline({
    before: pairs.before,
    after: pairs.after,
    group: pairs.arm,
    reference: "swing",
  }).difference!;
}

function pooledGain(speedGainMph: number) {
  const series = Array.from({ length: 12 }, (_, i) => gainIn(800 + i, speedGainMph));
  return pool(
    { estimate: series.map(({ value }) => value), se: series.map(({ se }) => se!) },
    { method: "REML", hartungKnapp: true },
  );
}

describe("pooling, against a series of simulated studies", () => {
  it("finds the gain that all of them share, and none where there is none", () => {
    const { estimate } = pooledGain(1.5);
    expect(estimate.interval!.low).toBeLessThan(1.5);
    expect(estimate.interval!.high).toBeGreaterThan(1.5);
    expect(estimate.interval!.low).toBeGreaterThan(0);
    const none = pooledGain(0).estimate.interval!;
    expect(none.low).toBeLessThan(0);
    expect(none.high).toBeGreaterThan(0);
  });
});

describe("pooling, against published values", () => {
  it("Brown et al. (2011) and Wells et al. (2009): r = 0.596 (0.286 to 0.793), Q = 0.183", () => {
    const { estimate, q } = poolCorrelations(
      { r: [0.54, 0.65], n: [16, 15] },
      { method: "common" },
    );
    const printed = (quantity: string) => ({ quantity, rel: 9e-4, why: "three printed digits" });
    agrees(estimate.value, 0.596, printed("pooled r"));
    agrees(estimate.interval!.low, 0.286, { ...printed("low"), rel: 0.0005 / 0.286 });
    agrees(estimate.interval!.high, 0.793, printed("high"));
    agrees(q.statistic, 0.183, { ...printed("Q"), rel: 0.0005 / 0.183 });
  });

  it("a printed z is turned into r: 0.48 is r = 0.446 (Brennan et al. 2024)", () => {
    const rows = publishedTable("pooled-correlations").rows.filter(
      (row) => row.scale === "Fisher's z",
    );
    for (const row of rows) {
      agrees(Math.tanh(Number(row.estimate)), Number(row.as_r), {
        quantity: `r of ${row.category}`,
        rel: 0.0006 / Number(row.as_r),
        why: "three printed digits",
      });
    }
    expect(rows.length).toBeGreaterThan(0);
  });
});

describe("the ledger of the pools", () => {
  const own = () => expectLedger("series/pool", []);
  const published = () =>
    expectLedger("series/published", [
      "correlation-least-favourable",
      "correlation-next",
      "gains-next",
    ]);
  const one = (id: string) => [...own(), ...published()].find((found) => found.id === id)!;

  it("leaves studies out of what is pooled", () => {
    for (const { id, leaveOneOut } of [...own(), ...published()])
      if (leaveOneOut) expect(leaveOneOut.leaving, id).toBe("study");
  });

  it("is what the printed correlations give without each study, by Fisher's z and weights n − 3", () => {
    const printed = publishedTable("correlations").rows.filter((row) =>
      one("correlation-pooled").leaveOneOut!.changesConclusion.some((label) => {
        const [author, year] = label.split(/[ ,]/);
        const same = String(row.study).startsWith(author!) && String(row.year) === year;
        return (
          same &&
          label.endsWith(String(row.outcome).replace("CHS", "club speed")) &&
          /grip/.test(String(row.predictor))
        );
      }),
    );
    expect(printed).toHaveLength(3);
    // Without heterogeneity beyond chance the random-effects weights are those of a common effect.
    const common = (rows: typeof printed) => {
      const weights = rows.map((row) => Number(row.n) - 3);
      const sum = rows.reduce(
        (total, row, i) => total + weights[i]! * Math.atanh(Number(row.r)),
        0,
      );
      return Math.tanh(sum / weights.reduce((total, w) => total + w, 0));
    };
    expectRange(one("correlation-pooled"), common(printed), withoutEachValue(printed, common));
  });

  it("leaves of a pool of two the other study's own change, from its raw trials", () => {
    const trials = rawRows("coach-nine/grip-trials.csv").filter(
      ({ hand, position, status }) =>
        hand === "lead" && position === "address" && status === "valid",
    );
    const people = [...new Set(trials.map(({ participant }) => participant))];
    const meanAt = (person: unknown, visit: string) =>
      meanOf(
        trials
          .filter(({ participant, occasion }) => participant === person && occasion === visit)
          .map(({ force }) => Number(force)),
      );
    const logs = people.map((who) => Math.log(meanAt(who, "after") / meanAt(who, "before")));
    const { low, high } = one("pooled").leaveOneOut!;
    const alone = 100 * Math.expm1(meanOf(logs));
    const nearest = Math.abs(alone - low) < Math.abs(alone - high) ? low : high;
    agrees(nearest, alone, {
      quantity: "nine golfers alone",
      rel: 1e-9,
      why: "the same arithmetic in another order",
    });
  });

  it("names the interval of a pool of two, and gives it no range for a next study", () => {
    for (const id of ["pooled", "speed-pooled"])
      expect(one(id).sentence).toContain("modified Hartung–Knapp, t(1)");
    const record = readFileSync(
      new URL("../../notebooks/series/pool.ipynb", import.meta.url),
      "utf8",
    );
    expect(record).not.toContain("range of a next study");
    expect(own().filter(({ method }) => /prediction interval/.test(method))).toEqual([]);
  });

  it("pools the gains that are printed, by standard errors SD / √n of one assumed SD", () => {
    const rows = publishedTable("training-effects").rows.filter(
      ({ chs_pct: gain }) => gain !== null && Number(gain) < 8,
    );
    expect(rows).toHaveLength(4);
    const { value, count } = one("gains-pooled");
    expect(count).toEqual({
      n: rows.reduce((sum, row) => sum + Number(row.n_trained), 0),
      of: "golfers",
    });
    // any SD gives weights between those of n and equal ones
    const gains = rows.map((row) => Number(row.chs_pct));
    const equal = meanOf(gains);
    const byN =
      rows.reduce((sum, row) => sum + Number(row.chs_pct) * Number(row.n_trained), 0) / count.n;
    expect(value).toBeGreaterThanOrEqual(Math.min(equal, byN));
    expect(value).toBeLessThanOrEqual(Math.max(equal, byN));
    expect(one("gains-marked")).toMatchObject({ value: 1, unit: "of 5" });
  });
});
