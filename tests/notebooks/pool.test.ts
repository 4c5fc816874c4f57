import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { pool } from "../../lib/stats/pool.js";
import { poolCorrelations } from "../../lib/stats/pool-correlations.js";
import { beforeAfter } from "../../lib/study/before-after.js";
import { publishedTable } from "../../lib/study/published.js";
import { summariseSpeed } from "../../lib/study/summary.js";
import { agrees } from "../reference/agree.js";
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
      (row) => row.scale === "fisher_z",
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
