import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { readStudy } from "../../../lib/study/open.js";
import { coachNine, winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import type { SimulationOptions } from "../../../lib/study/simulate/simulation.js";
import { summariseGrip, summariseSpeed } from "../../../lib/study/tables/summary.js";
import { agrees } from "../../reference/agree.js";

const read = (options: SimulationOptions) => {
  const { files, truth } = inventStudy(options);
  const bytes = Object.entries(files).map(
    ([name, text]) => [name, new TextEncoder().encode(text)] as const,
  );
  const { study } = readStudy({ name: options.name, files: new Map(bytes), faults: [] });
  return { study: study!, truth, files };
};

const clean = {
  withdrawals: [],
  missedVisits: [],
  faults: [],
  otherUnits: [],
  setAside: undefined,
};
const exact = {
  trialErrorKgf: 0,
  sessionErrorKgf: 0,
  fatiguePercent: 0,
  learningKgf: 0,
  learningMph: 0,
  swingErrorPercent: 0,
  sessionErrorMph: 0,
};

const meanOf = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe("the simulator", () => {
  it("writes the same bytes for the same options, others for another seed", () => {
    expect(inventStudy(coachNine).files).toEqual(inventStudy(coachNine).files);
    const other = inventStudy({ ...coachNine, seed: 10 }).files;
    expect(other["grip-trials.csv"]).not.toBe(inventStudy(coachNine).files["grip-trials.csv"]);
  });

  it("one golfer's missed visit leaves every other row as it was", () => {
    const lines = (options: SimulationOptions) =>
      inventStudy(options).files["grip-trials.csv"]!.split("\n");
    const all = lines(coachNine);
    const fewer = lines({ ...coachNine, missedVisits: [{ person: 4, occasion: "after" }] });
    expect(all.filter((line) => !fewer.includes(line)).length).toBe(6);
    expect(fewer.every((line) => all.includes(line))).toBe(true);
  });

  it("without error, what is read is what is true, to the rounding of the file", () => {
    const { study, truth } = read({
      ...winterBlock,
      ...clean,
      ...exact,
    } as unknown as SimulationOptions);
    const grips = summariseGrip(study, { rule: "mean3" }).objects() as Record<string, unknown>[];
    const speeds = summariseSpeed(study, { rule: "mean" }).objects() as Record<string, unknown>[];
    const trueOf = (row: Record<string, unknown>) =>
      truth.find(
        (visit) => visit.participant === row.participant && visit.occasion === row.occasion,
      )!;
    for (const row of grips) {
      const value = trueOf(row).grip[`${row.hand} ${row.position}`]!;
      expect(Math.abs((row.grip_kgf as number) - value)).toBeLessThanOrEqual(0.0500001);
    }
    for (const row of speeds)
      expect(Math.abs((row.speed_mph as number) - trueOf(row).speedMph)).toBeLessThanOrEqual(
        0.0500001,
      );
    expect(grips.length).toBe(26 * 3 * 2 * 3);
  });

  it("the true mean gain of the trained is the arm's, of the others none", () => {
    const big = {
      ...winterBlock,
      ...clean,
      arms: winterBlock.arms.map((arm) => ({ ...arm, people: 2000 })),
    };
    const { truth } = inventStudy(big as unknown as SimulationOptions);
    const gains = (arm: string) => {
      const visits = truth.filter((visit) => visit.arm === arm);
      const first = visits.filter(({ occasion }) => occasion === "w0");
      const last = visits.filter(({ occasion }) => occasion === "w6");
      return {
        grip: meanOf(
          last.map(
            (visit, i) => 100 * (visit.grip["lead address"]! / first[i]!.grip["lead address"]! - 1),
          ),
        ),
        speed: meanOf(last.map((visit, i) => visit.speedMph - first[i]!.speedMph)),
      };
    };
    // Gains differ by 2 percent points between people, and by the sessions done (about 0.4 more):
    // the standard error of 2000 is 0.05; the tolerance is four of them.
    agrees(gains("grip").grip, 6, {
      quantity: "grip gain, %",
      rel: 0.2 / 6,
      why: "four standard errors",
    });
    agrees(gains("grip").speed, 1.5, {
      quantity: "speed gain, mph",
      rel: 0.04,
      why: "four standard errors",
    });
    expect(gains("swing").grip).toBe(0);
    expect(gains("swing").speed).toBe(0);
  });

  it("trials scatter as they are told to: within a session by the trial error", () => {
    const steady = {
      ...winterBlock,
      ...clean,
      fatiguePercent: 0,
      arms: winterBlock.arms.map((arm) => ({ ...arm, people: 150 })),
    };
    const { study } = read(steady as unknown as SimulationOptions);
    const groups = new Map<string, number[]>();
    for (const row of study.gripTrials.objects() as Record<string, unknown>[]) {
      const key = [row.participant, row.occasion, row.hand, row.position].join();
      groups.set(key, [...(groups.get(key) ?? []), row.force_kgf as number]);
    }
    const variances = [...groups.values()].map((values) => {
      const middle = meanOf(values);
      return values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1);
    });
    // Variance 2.25 plus that of rounding to 0.1, 0.0008; 5400 groups with 2 degrees of freedom give
    // a relative standard error of √(1 / 5400) = 0.0136.
    agrees(Math.sqrt(meanOf(variances)), Math.sqrt(2.25083), {
      quantity: "trial error",
      rel: 0.027,
      why: "four standard errors of an SD",
    });
  });

  it("people are recognisable as people: norms by sex, the writing hand 10 % stronger", () => {
    const many = {
      ...winterBlock,
      ...clean,
      arms: winterBlock.arms.map((arm) => ({ ...arm, people: 200 })),
    };
    const { study, truth } = read(many as unknown as SimulationOptions);
    const people = study.participants.objects() as Record<string, unknown>[];
    const start = new Map(
      truth
        .filter(({ occasion }) => occasion === "w0")
        .map((visit) => [visit.participant, visit.grip]),
    );
    const rightWriters = people.filter(
      ({ writes_with, plays }) => writes_with === "right" && plays === "right",
    );
    for (const person of rightWriters) {
      const grip = start.get(person.participant as string)!;
      expect(grip["trail address"]! / grip["lead address"]!).toBeCloseTo(1.1, 10);
    }
    const meanFor = (sex: string) =>
      meanOf(
        people
          .filter((one) => one.sex === sex)
          .map((one) => start.get(one.participant as string)!["trail address"]!),
      );
    // Female medians are near 0.6 of male ones at every age (Tomkinson et al. 2025).
    expect(meanFor("female") / meanFor("male")).toBeGreaterThan(0.55);
    expect(meanFor("female") / meanFor("male")).toBeLessThan(0.7);
  });

  it("a study of nobody is refused", () => {
    expect(() => inventStudy({ ...coachNine, arms: [] })).toThrow(InputError);
    expect(() => inventStudy({ ...coachNine, occasions: coachNine.occasions.slice(0, 1) })).toThrow(
      InputError,
    );
  });
});
