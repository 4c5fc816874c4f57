import { describe, expect, it } from "vitest";
import { type RandomStream, randomStream } from "../../lib/num/random.js";
import { bootstrap } from "../../lib/stats/bootstrap/bootstrap.js";
import { pairedChange } from "../../lib/stats/change.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

/** How often 95 % intervals of a mean hold the true one, over many small studies. */
interface Coverage {
  readonly t: number;
  readonly bca: number;
}

const n = 12;
const studies = 20_000;

function mean([x]: Float64Array[]): number {
  let total = 0;
  for (let i = 0; i < x!.length; i++) total += x![i]!;
  return total / x!.length;
}

function coverage(name: string, draw: (stream: RandomStream) => number, truth: number): Coverage {
  const stream = randomStream(20240601, `coverage ${name}`);
  const zeros = new Float64Array(n);
  const holds = ({ low, high }: { low: number; high: number }) => low <= truth && truth <= high;
  let [t, bca] = [0, 0];
  for (let study = 0; study < studies; study++) {
    const x = Float64Array.from(zeros, () => draw(stream));
    if (holds(pairedChange(zeros, x).change.interval!)) t++;
    if (holds(bootstrap([x], mean, { resamples: 2000, seed: study }).estimate.interval)) bca++;
  }
  return { t: t / studies, bca: bca / studies };
}

describe("coverage of 95 % intervals at n = 12, 20 000 simulated studies", () => {
  const { computed } = referenceCase("bootstrap", "coverage");
  // Four standard errors of a share near 0.9 in 20 000 studies and of the reference's own 40 000.
  const noise = { rel: 0.011, why: "Monte-Carlo error of both simulations" };

  it("normal changes: t holds its 95 %, BCa falls short as published software's does", () => {
    const ours = coverage("normal", (stream) => stream.normal(), 0);
    agrees(ours.t, computed.normal_t!.value, { quantity: "t", rel: 0.0065, why: noise.why });
    agrees(ours.bca, computed.normal_bca!.value, { quantity: "BCa", ...noise });
    expect(ours.bca).toBeLessThan(ours.t);
  });

  it("exponential changes: both fall short, by as much as in an independent simulation", () => {
    const ours = coverage("exponential", (stream) => -Math.log(1 - stream.uniform()), 1);
    agrees(ours.t, computed.exponential_t!.value, { quantity: "t", ...noise });
    agrees(ours.bca, computed.exponential_bca!.value, { quantity: "BCa", ...noise });
  });
});
