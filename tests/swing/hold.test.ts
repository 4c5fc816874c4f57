import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { clubLength } from "../../lib/swing/club.js";
import { frictionNeeded, holdDemand, shareNeeded, shareOfMaximum } from "../../lib/swing/hold.js";
import { clubPull } from "../../lib/swing/pull.js";
import { agrees } from "../reference/agree.js";

describe("hold demand", () => {
  // N_total columns of the worked table: 343 N pull, mu 0.5, 1.0 and 1.7
  const pullN = clubPull({ speedMps: 44.704 }).forceN;

  it("at 100 mph is 202 to 687 N over friction 1.7 to 0.5", () => {
    const { low, high } = holdDemand({ pullN, friction: { low: 0.5, high: 1.7 } });
    const why = "three printed digits";
    agrees(low, 202, { quantity: "low", rel: 2.5e-3, why });
    agrees(high, 687, { quantity: "high", rel: 8e-4, why });
  });

  it("spans a factor 3.4 from friction alone", () => {
    const { low, high } = holdDemand({ pullN });
    agrees(high / low, 3.4, { quantity: "factor", rel: 1e-14, why: "1.7 / 0.5" });
  });

  it("takes a pair in either order, and a band of pull", () => {
    const record = holdDemand({ pullN: 300, friction: { low: 0.5, high: 1 } });
    expect(holdDemand({ pullN: 300, friction: [1, 0.5] })).toEqual(record);
    const band = holdDemand({ pullN: { low: 200, high: 400 }, friction: [0.5, 1] });
    expect([band.low, band.high]).toEqual([200, 800]);
  });

  it("as dynamometer readings divides by π (even press) and 2 (two-sided)", () => {
    const { readingN } = holdDemand({ pullN: Math.PI * 100, friction: [1, 1] });
    agrees(readingN.low, 100, { quantity: "even press", rel: 1e-15, why: "one division" });
    agrees(readingN.high, 50 * Math.PI, { quantity: "two-sided", rel: 1e-15, why: "one division" });
  });

  it("refuses one friction number and non-positive amounts", () => {
    expect(() => holdDemand({ pullN, friction: 0.5 as never })).toThrow(/range of friction/);
    expect(() => holdDemand({ pullN: 0 })).toThrow(InputError);
    expect(() => holdDemand({ pullN, friction: [0.5] })).toThrow(/range/);
    expect(() => holdDemand({ pullN, friction: { low: 0, high: 1 } })).toThrow(InputError);
  });
});

describe("friction that a claim would need", () => {
  it("is the inverse of the hold demand", () => {
    const { low, high } = frictionNeeded({ pullN: 343.4, gripN: 784.532 });
    const at = (mu: number) => holdDemand({ pullN: 343.4, friction: [mu, mu] }).readingN;
    agrees(at(high).high, 784.532, { quantity: "two-sided", rel: 1e-14, why: "inverse" });
    agrees(at(low).low, 784.532, { quantity: "even press", rel: 1e-14, why: "inverse" });
  });

  it("40 kgf in each hand (common practice, no source) slips at 100 mph only below every published dry friction", () => {
    const pullN = clubPull({ speedMps: 44.704 }).forceN;
    const { high, published } = frictionNeeded({ pullN, gripN: 2 * 40 * 9.80665 });
    expect(high).toBeLessThan(published.low);
  });
});

describe("share of maximum that friction alone would ask for", () => {
  const gripN = 2 * 40 * 9.80665;

  it("is the demand of holdDemand as readings, over the reading: 100 mph and 40 kgf a hand", () => {
    const { band } = clubPull({ speedMps: 44.704 });
    const { low, high } = shareNeeded({ pullN: band, gripN });
    const { readingN } = holdDemand({ pullN: band });
    const why = "the same division in another order";
    agrees(low, (100 * readingN.low) / gripN, { quantity: "low", rel: 1e-13, why });
    agrees(high, (100 * readingN.high) / gripN, { quantity: "high", rel: 1e-13, why });
  });

  it("is 100 % at the friction that frictionNeeded gives", () => {
    const { low, high } = frictionNeeded({ pullN: [300, 400], gripN });
    const share = shareNeeded({ pullN: 300, gripN, friction: [low, 2 * low] });
    agrees(share.high, (100 * Math.PI) / 2, { quantity: "π over 2", rel: 1e-13, why: "two-sided" });
    const other = shareNeeded({ pullN: 400, gripN, friction: [high, 2 * high] });
    agrees(other.high, 100, { quantity: "share", rel: 1e-13, why: "inverse of each other" });
  });

  it("takes a range of pull for the friction too, and one number as before", () => {
    const both = frictionNeeded({ pullN: [300, 400], gripN });
    expect(both.low).toBe(frictionNeeded({ pullN: 300, gripN }).low);
    expect(both.high).toBe(frictionNeeded({ pullN: 400, gripN }).high);
  });

  it("refuses one friction as holdDemand does", () => {
    expect(() => shareNeeded({ pullN: 300, gripN, friction: 0.6 as never })).toThrow(InputError);
    expect(() => shareNeeded({ pullN: 300, gripN: 0 })).toThrow(InputError);
  });
});

describe("share and length", () => {
  it("share is a percentage of the golfer's own maximum", () => {
    expect(shareOfMaximum({ inSwingN: 300, maximumN: 400 })).toBe(75);
    expect(shareOfMaximum({ inSwingN: 0, maximumN: 400 })).toBe(0);
    expect(() => shareOfMaximum({ inSwingN: 300, maximumN: 0 })).toThrow(InputError);
    expect(() => shareOfMaximum({ inSwingN: 300 } as never)).toThrow(InputError);
  });

  it("48 in is the limit and is allowed; 46 in is the local rule", () => {
    expect(clubLength(1.2192).withinLimit).toBe(true);
    expect(clubLength(1.2193).withinLimit).toBe(false);
    expect(clubLength(1.1684).withinLocalRule).toBe(true);
    expect(clubLength(1.1685).withinLocalRule).toBe(false);
    expect(clubLength(1.3, { putter: true }).withinLimit).toBe(true);
    expect(() => clubLength(-1)).toThrow(InputError);
  });
});
