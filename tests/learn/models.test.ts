import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { playBeforeAfter } from "../../lib/learn/before-after-model.js";
import { playCrowds } from "../../lib/learn/crowds-model.js";
import { playLine } from "../../lib/learn/line-model.js";
import type { Played, Settings } from "../../lib/learn/model.js";
import { playAgain } from "../../lib/learn/models.js";
import { playPull } from "../../lib/learn/pull-model.js";
import { playResampling } from "../../lib/learn/resampling-model.js";
import { simulation } from "../../lib/learn/simulation.js";
import { playSqueeze } from "../../lib/learn/squeeze-model.js";
import { pictureSvg } from "../../lib/show/picture.js";
import { agrees } from "../reference/agree.js";

type Play = (settings?: Settings, options?: { seed?: number }) => Played;

const plays: Record<string, Play> = {
  squeeze: playSqueeze,
  line: playLine,
  "before-after": playBeforeAfter,
  resampling: playResampling,
  crowds: playCrowds,
  pull: playPull,
};
const seeds = Array.from({ length: 12 }, (_, i) => 100 + i);

function meanOver(play: Play, settings: Settings, name: string): number {
  const values = seeds.map((seed) => play(settings, { seed }).results[name]!);
  return values.reduce((a, b) => a + b, 0) / values.length;
}

/** Every control at its lowest, and every one at its highest. */
function corners({ controls }: Played): Settings[] {
  const at = (end: "low" | "high") =>
    Object.fromEntries(
      controls.map((one) => [
        one.name,
        one.kind === "number" ? one[end] : one.options.at(end === "low" ? 0 : -1)!.value,
      ]),
    );
  return [at("low"), at("high")];
}

describe.each(Object.entries(plays))("model %s", (name, play) => {
  it("draws the same from the same seed and carries what is needed to draw it again", () => {
    const played = play({}, { seed: 7 });
    expect(play({}, { seed: 7 })).toEqual(played);
    expect(playAgain(played.model, played.settings, played.seed)).toEqual(played);
    expect(JSON.parse(JSON.stringify(played))).toEqual(played);
    if (name !== "pull") expect(play({}, { seed: 8 }).results).not.toEqual(played.results);
  });

  it("starts at its controls' starts and holds at their ends", () => {
    const played = play();
    for (const { name: control, start } of played.controls) {
      expect(played.settings[control]).toBe(start);
    }
    for (const settings of corners(played)) {
      const { results, sentence, picture, alt } = play(settings, { seed: 3 });
      for (const [result, value] of Object.entries(results)) {
        expect(Number.isFinite(value), `${result} at ${JSON.stringify(settings)}`).toBe(true);
      }
      expect(sentence).toMatch(/[.]$/);
      for (const width of [320, 720]) {
        expect(pictureSvg(picture, alt, width)).not.toMatch(/NaN|Infinity|undefined/);
      }
    }
  });

  it("refuses a setting that it has not, or out of range", () => {
    expect(() => play({ birdies: 1 })).toThrow(InputError);
    const number = play().controls.find(({ kind }) => kind === "number")!;
    for (const value of [-1e9, 1e9, Number.NaN, "many"]) {
      expect(() => play({ [number.name]: value })).toThrow(InputError);
    }
  });

  it("is shown as a record with its caption", () => {
    const record = simulation({ id: "shown", caption: "A figure to play with.", ...play() });
    expect(record).toMatchObject({ kind: "simulation", model: name, settings: play().settings });
  });
});

describe("one squeeze", () => {
  it("has the minimal detectable change of Weir (2005): 1.96 √2 SEM", () => {
    const { detectable } = playSqueeze({ trials: 4, error: 1.5 }).results;
    agrees(detectable!, (1.959963985 * Math.SQRT2 * 1.5) / 2, {
      quantity: "minimal detectable change, mean of four",
      rel: 1e-9,
      why: "ten printed digits of the normal quantile",
    });
  });

  it("lets 5 in 100 golfers pass it where nobody changed", () => {
    // 12 × 200 × 12 golfers: standard error 0.13 of a hundred
    const passing = meanOver(playSqueeze, { people: 12, change: 0 }, "passing");
    expect(Math.abs((100 * passing) / 12 - 5)).toBeLessThan(0.6);
  });

  it("makes up a gain by a switch from mean to best: 0.8463 errors for three squeezes", () => {
    // expected highest of three standard normals 3 / (2 √π), David & Nagaraja, Order Statistics
    const gain = meanOver(
      playSqueeze,
      { people: 12, trials: 3, error: 2, change: 0, rule: "switched" },
      "meanChange",
    );
    expect(Math.abs(gain - (2 * 3) / (2 * Math.sqrt(Math.PI)))).toBeLessThan(0.05);
  });
});

describe("a line", () => {
  it("is right on average where grip is read without error, its intervals in 95 of 100", () => {
    const settings = { people: 20, error: 0, slope: 0.4 };
    expect(Math.abs(meanOver(playLine, settings, "average") - 0.4)).toBeLessThan(0.02);
    expect(Math.abs(meanOver(playLine, settings, "holding") / 200 - 0.95)).toBeLessThan(0.02);
  });

  it("is pulled towards zero by error in grip, by the share of error in its variance", () => {
    // λ = 8² / (8² + 8²) = ½ (Fuller, Measurement Error Models, 1.1)
    const settings = { people: 30, trials: 1, error: 8, slope: 0.8 };
    expect(Math.abs(meanOver(playLine, settings, "average") - 0.4)).toBeLessThan(0.02);
  });

  it("is surer of the mean of golfers than of one golfer", () => {
    const { meanHalf, singleHalf } = playLine({ people: 20 }).results;
    expect(singleHalf!).toBeGreaterThan(3 * meanHalf!);
  });
});

describe("before and after", () => {
  it("credits training with learning unless there is a control group", () => {
    const settings = { people: 9, effect: 2, learning: 1, chosen: "all" };
    expect(Math.abs(meanOver(playBeforeAfter, settings, "alone") - 3)).toBeLessThan(0.1);
    expect(Math.abs(meanOver(playBeforeAfter, settings, "against") - 2)).toBeLessThan(0.1);
    const held = meanOver(playBeforeAfter, settings, "againstHolding") / 200;
    expect(Math.abs(held - 0.95)).toBeLessThan(0.02);
  });

  it("lets the weakest third rise by error alone, as regression to the mean says", () => {
    // mean of the lowest third of a normal: −φ(z) / (1/3) SDs with z its 1/3 quantile, −1.0908;
    // of that, error's share of the variance comes back: 36 / (36 + 36) of SD √72
    const settings = { people: 40, trials: 1, error: 6, effect: 0, learning: 0, chosen: "weakest" };
    const expected = 1.0908 * Math.sqrt(72) * 0.5;
    const alone = meanOver(playBeforeAfter, settings, "alone");
    expect(Math.abs(alone - expected)).toBeLessThan(0.2);
    expect(Math.abs(meanOver(playBeforeAfter, settings, "against"))).toBeLessThan(0.15);
  });
});

describe("resampling", () => {
  it("misleads with five golfers, where Student's t does not", () => {
    const settings = { people: 5, shape: "even" };
    const percentile = meanOver(playResampling, settings, "percentile") / 200;
    const t = meanOver(playResampling, settings, "t") / 200;
    expect(Math.abs(t - 0.95)).toBeLessThan(0.02);
    expect(percentile).toBeLessThan(0.88);
  });

  it("keeps nearly its promise with thirty", () => {
    const settings = { people: 30, shape: "even" };
    expect(meanOver(playResampling, settings, "percentile") / 200).toBeGreaterThan(0.91);
  });
});

describe("people and crowds", () => {
  it("shows slopes that differ in sign where they truly do, and seldom where they do not", () => {
    const opposed = { people: 15, visits: 6, error: 0.2, own: 0.8, crowd: -0.8 };
    expect(meanOver(playCrowds, opposed, "odd")).toBeGreaterThan(190);
    expect(meanOver(playCrowds, { ...opposed, crowd: 0.8 }, "odd")).toBeLessThan(10);
  });

  it("draws the golfers' lines together", () => {
    for (const seed of seeds) {
      const { spread, ownSpread } = playCrowds({ lines: "shrunken" }, { seed }).results;
      expect(spread!).toBeLessThanOrEqual(ownSpread!);
    }
  });
});

describe("pull", () => {
  it("grows with the square of speed: 10 % faster is 21 % more", () => {
    agrees(playPull().results.morePercent!, 21, {
      quantity: "extra pull at 1.1 times the speed",
      rel: 1e-12,
      why: "1.1² is exact but for rounding",
    });
    const ratio = playPull({ speed: 120 }).results.pullN! / playPull({ speed: 60 }).results.pullN!;
    expect(ratio).toBeCloseTo(4, 12);
  });

  it("asks for a squeeze that is a wide band, never one number", () => {
    const { lowKgf, highKgf } = playPull().results;
    expect(highKgf! / lowKgf!).toBeGreaterThan(2);
  });
});
