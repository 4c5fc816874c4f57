import { describe, expect, it } from "vitest";
import { randomStream } from "../../../lib/num/random.js";
import { shiftDropouts } from "../../../lib/stats/mixed/dropout-shift.js";
import { fitVisits } from "../../../lib/stats/mixed/visits.js";
import { fitLine } from "../../../lib/stats/regression.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

/** Golfers at visits 0 and 6; some left after the first. */
function study(people: number, seed: number) {
  const stream = randomStream(seed, "dropouts");
  return Array.from({ length: people }, (_, i) => {
    const before = 40 + 6 * stream.normal();
    const after = before + (i % 2 ? 3 : 0) + 2 * stream.normal();
    return { id: i, arm: i % 2 ? "grip" : "control", before, after, left: stream.uniform() < 0.3 };
  });
}

type Golfer = ReturnType<typeof study>[number];

function columnsOf(golfers: readonly Golfer[]) {
  const rows = golfers.flatMap(({ id, arm, before, after, left }) => [
    { subject: id, arm, visit: 0, y: before },
    ...(left ? [] : [{ subject: id, arm, visit: 6, y: after }]),
  ]);
  const column = <K extends keyof (typeof rows)[number]>(name: K) => rows.map((row) => row[name]);
  return { subject: column("subject"), arm: column("arm"), visit: column("visit"), y: column("y") };
}

describe("a shift of those who left", () => {
  it("is what imputing their values and shifting them gives", () => {
    // One arm, two visits, some without the second: the likelihood's mean is that of the values seen
    // and of those that the line through the complete pairs gives (Anderson 1957 J Am Stat Assoc
    // 52:200–203), to which the shift is added by hand here.
    const golfers = study(20, 1);
    const { arm: _, ...columns } = columnsOf(golfers);
    const pairs = golfers.filter(({ left }) => !left);
    const line = fitLine({ x: pairs.map((g) => g.before), y: pairs.map((g) => g.after) });
    for (const shift of [0, -2, 5]) {
      const imputed = golfers.map(({ before, after, left }) =>
        left ? line.intercept.value + line.slope.value * before + shift : after,
      );
      const byHand = imputed.reduce((sum, value) => sum + value / imputed.length, 0);
      for (const method of ["ML", "REML"] as const) {
        const { means } = shiftDropouts(fitVisits(columns, { method }), { shift });
        agrees(means.all!.value, byHand, { quantity: "mean", rel: 1e-9, why: "closed form" });
      }
    }
  });

  it("moves a difference by the shares who left, and widens it by their sampling", () => {
    const golfers = study(24, 2);
    const fit = fitVisits(columnsOf(golfers));
    const { differences, unshifted, missing } = shiftDropouts(fit, {
      shift: { grip: -4, control: 1 },
    });
    const share = (arm: string) => {
      const own = golfers.filter((golfer) => golfer.arm === arm);
      return own.filter(({ left }) => left).length / own.length;
    };
    const [grip, control] = [share("grip"), share("control")];
    expect(missing.grip).toEqual({ people: 12, missing: 12 * grip, share: grip });
    const moved = unshifted.grip!.value - 4 * grip - control;
    expect(differences.grip!.value).toBeCloseTo(moved, 10);
    const variance =
      unshifted.grip!.se! ** 2 + (16 * grip * (1 - grip)) / 12 + (control * (1 - control)) / 12;
    expect(differences.grip!.se!).toBeCloseTo(Math.sqrt(variance), 10);
    expect(differences.grip!.df).toBe(unshifted.grip!.df);
    const none = shiftDropouts(fit, { shift: 0 }).differences.grip!;
    expect(none.value).toBe(unshifted.grip!.value);
    expect(none.interval!.low).toBeCloseTo(unshifted.grip!.interval!.low, 12);
  });

  it("names the shift at which the interval reaches zero", () => {
    const { data } = referenceCase("visits", "Sitka_gaps");
    const fit = fitVisits(
      { subject: data.id, visit: data.visit, arm: data.arm, y: data.y },
      { reference: "control", df: "kenward-roger" },
    );
    const { tippingShift, unshifted } = shiftDropouts(fit, { shift: 0 });
    expect(unshifted.ozone!.interval!.high).toBeLessThan(0);
    const tip = tippingShift.ozone!;
    expect(tip).toBeGreaterThan(0);
    const at = shiftDropouts(fit, { shift: { ozone: tip } }).differences.ozone!;
    expect(at.interval!.high).toBeCloseTo(0, 10);
    const short = shiftDropouts(fit, { shift: { ozone: 0.99 * tip } }).differences.ozone!;
    expect(short.interval!.high).toBeLessThan(0);
  });

  it("refuses what the fit does not have, and says when nobody left", () => {
    const golfers = study(24, 2);
    const fit = fitVisits(columnsOf(golfers));
    expect(() => shiftDropouts(fit, { shift: -1, visit: 12 })).toThrow(/\(6\)/);
    expect(() => shiftDropouts(fit, { shift: -1, visit: 0 })).toThrow(/\(6\)/);
    expect(() => shiftDropouts(fit, { shift: { gripp: -1 } })).toThrow(/grip/);
    expect(() => shiftDropouts(fit, { shift: Number.NaN })).toThrow(/unit of the outcome/);
    const all = fitVisits(columnsOf(golfers.map((golfer) => ({ ...golfer, left: false }))));
    const whole = shiftDropouts(all, { shift: -5 });
    expect(whole.warnings).toHaveLength(1);
    expect(whole.differences.grip!.value).toBe(whole.unshifted.grip!.value);
    expect(whole.tippingShift).toEqual({});
  });
});
