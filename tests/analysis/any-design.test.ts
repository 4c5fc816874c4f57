import { describe, expect, it } from "vitest";
import { baselineOf } from "../../lib/analysis/baseline-of.js";
import { changeWithin } from "../../lib/analysis/change-within.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { decimalText } from "../../lib/analysis/decimal-text.js";
import { individualResponseOf } from "../../lib/analysis/individual-response-of.js";
import { percentsOf } from "../../lib/analysis/percents-of.js";
import { refusalSentence } from "../../lib/analysis/refusal.js";
import { respondersOf } from "../../lib/analysis/responders-of.js";
import { specifications } from "../../lib/analysis/specifications.js";
import { standardised } from "../../lib/analysis/standardised.js";
import { singleAnswers } from "../../lib/analysis/study-answer.js";
import { type StudyOutcomes, withOutcomes } from "../../lib/analysis/study-outcomes.js";
import { subgroups } from "../../lib/analysis/subgroups.js";
import { visitsOf } from "../../lib/analysis/visits-of.js";
import { InputError } from "../../lib/errors.js";
import { everyPerson } from "../../lib/show/every-person.js";
import { figure } from "../../lib/show/figure.js";
import { findings } from "../../lib/show/findings.js";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { individualResponse } from "../../lib/stats/individual-response.js";
import { effectByTrait } from "../../lib/stats/interaction.js";
import { readStudy } from "../../lib/study/open.js";
import { winterBlock } from "../../lib/study/simulate/demo.js";
import { inventStudy } from "../../lib/study/simulate/simulate.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";

function invented(change: Partial<SimulationOptions>): StudyOutcomes {
  const { files } = inventStudy({
    ...winterBlock,
    withdrawals: [],
    missedVisits: [],
    faults: [],
    otherUnits: [],
    ...change,
    setAside: undefined,
  } as unknown as SimulationOptions);
  const bytes = Object.entries(files).map(
    ([name, text]) => [name, new TextEncoder().encode(text)] as const,
  );
  const { study, issues } = readStudy({ name: "invented", files: new Map(bytes), faults: [] });
  if (!study) throw new Error(issues.map(({ code }) => code).join());
  return withOutcomes(study);
}

const [grip, swing] = winterBlock.arms as [
  SimulationOptions["arms"][number],
  SimulationOptions["arms"][number],
];
const later = [...winterBlock.occasions, { id: "w12", week: 12, title: "Six weeks later" }];
const third = { ...grip, id: "band", title: "Band block", gripGainPercent: 3 };
const designs = {
  "one arm": invented({ arms: [grip] }),
  "two arms, four visits": invented({
    occasions: later,
    missedVisits: [{ person: 3, occasion: "w6" }],
  }),
  "three arms": invented({ arms: [grip, third, swing].map((arm) => ({ ...arm, people: 8 })) }),
  "three arms, no control": invented({
    arms: [grip, third, { ...swing, control: false }].map((arm) => ({ ...arm, people: 6 })),
  }),
};

describe.each(Object.entries(designs))("%s", (_, study) => {
  const change = study.primary.change();

  it("answers every question or says why it cannot, and shows each of them", () => {
    const answers = [
      compareArms(change),
      compareArms(change, { interval: "permutation", resamples: 200 }),
      compareArms(change, { standardErrors: "HC3" }),
      compareArms(study.primary.logged().change()),
      changeWithin(change),
      visitsOf(study.primary),
      visitsOf(study.primary).lasting,
      respondersOf(change),
      individualResponseOf(change),
      standardised(change),
      subgroups(change, ["sex", { column: "age_years", from: 50 }]),
    ];
    for (const [i, answer] of answers.entries()) {
      for (const single of singleAnswers(answer)) {
        const answered = single.estimate !== undefined;
        expect(answered, JSON.stringify(single)).toBe(single.unanswered === undefined);
        if (!answered) expect(single.unanswered).toMatch(/^[A-Z].*\.$/);
      }
      const records = findings(`q${i}`, answer);
      expect(new Set(records.map(({ id }) => id)).size).toBe(records.length);
      expect(figure(`f${i}`, answer).kind).toBe("figure");
    }
    expect(figure("golfers", everyPerson(study.primary)).data.length).toBeGreaterThan(0);
    expect(figure("changes", everyPerson(change)).data.length).toBeGreaterThan(0);
    expect(baselineOf(study).columns).toHaveLength(1 + study.design.arms.length);
    expect(percentsOf(change).rows.length % 4).toBe(0);
  });

  it("names planned comparisons alone as planned", () => {
    const planned = singleAnswers(compareArms(change)).filter((one) => one.planned);
    const hasControl = study.design.arms.some((arm) => arm.control);
    const wanted = hasControl && study.design.arms.length > 1;
    expect(planned.length > 0).toBe(wanted);
    // With one arm the change within it is what the plan names.
    expect(singleAnswers(changeWithin(change)).some((one) => one.planned)).toBe(
      study.design.arms.length === 1,
    );
  });
});

describe("an arm that does not train", () => {
  const bare = { ...swing, sessionsPerWeek: 0, minutes: 0 };

  it("has no sessions to do, so that all its golfers count among those who did most of theirs", () => {
    const change = invented({ arms: [grip, bare] }).primary.change();
    const curve = specifications(change, { rules: [], trials: [], resamples: 20 });
    expect(curve.unanswered).toBeUndefined();
    const counts = new Map(curve.specifications.map(({ choice, n }) => [choice.golfers, n]));
    expect([...counts.keys()].sort()).toEqual(["all", "most sessions"]);
    expect(counts.get("all")).toBe(change.rows.length);
    expect(counts.get("most sessions")).toBeGreaterThan(change.of(bare.id).length + 2);
  });

  it("is compared without the choice of sessions when few of the other arm did most", () => {
    const change = invented({ arms: [grip, bare], missedShare: 0.7 }).primary.change();
    const curve = specifications(change, { rules: [], trials: [], resamples: 20 });
    expect(new Set(curve.specifications.map(({ choice }) => choice.golfers))).toEqual(
      new Set(["all"]),
    );
  });
});

describe("comparisons of arms", () => {
  const ids = (study: StudyOutcomes) =>
    singleAnswers(compareArms(study.primary.change())).map(({ part }) => part);

  it("are each against control, all pairs without one, after the joint test of three or more", () => {
    expect(ids(designs["two arms, four visits"])).toEqual([undefined]);
    expect(ids(designs["three arms"])).toEqual(["joint", "grip", "band"]);
    expect(ids(designs["three arms, no control"])).toEqual([
      "joint",
      "band-grip",
      "swing-grip",
      "swing-band",
    ]);
  });

  it("ask what lasted where a visit follows the planned one", () => {
    const { lasting } = visitsOf(designs["two arms, four visits"].primary);
    expect(lasting.visits).toMatchObject({ before: { week: 6 }, at: { week: 12 } });
    expect(lasting.estimate).toBeDefined();
    expect(visitsOf(designs["three arms"].primary).lasting.unanswered).toContain("no visit after");
  });

  it("keep golfers who missed a visit in the model of all visits", () => {
    const study = designs["two arms, four visits"];
    expect(visitsOf(study.primary).at("w6").count.n).toBe(26);
    expect(compareArms(study.primary.change()).count.n).toBe(25);
  });

  it("call a difference an effect only where the study records a random allocation", () => {
    expect(compareArms(designs["three arms"].primary.change()).randomised).toBe(true);
  });
});

describe("leaving one golfer out by closed forms", () => {
  const study = designs["three arms"];
  const change = study.primary.change();
  const without = (i: number) => change.rows.filter((_, row) => row !== i);
  const range = (values: readonly number[]) => [Math.min(...values), Math.max(...values)];

  it("equals refits, for arms", () => {
    const answer = singleAnswers(compareArms(change)).find(({ part }) => part === "band")!;
    const refits = change.rows.map((_, i) => {
      const rows = without(i);
      const fit = adjustForBaseline({
        before: rows.map(({ before }) => before),
        after: rows.map(({ after }) => after),
        group: rows.map(({ arm }) => arm),
        reference: "swing",
      });
      return fit.differences.band!.value;
    });
    const [low, high] = range([...refits, answer.estimate!.value]);
    expect(answer.leaveOneOut!.low).toBeCloseTo(low!, 9);
    expect(answer.leaveOneOut!.high).toBeCloseTo(high!, 9);
  });

  it("equals refits, for the spread of responses", () => {
    const answer = singleAnswers(individualResponseOf(change)).find(
      ({ part }) => part === "grip-variance",
    )!;
    const changes = (rows: typeof change.rows, arm: string) =>
      rows.filter((row) => row.arm === arm).map((row) => row.change);
    const refits = change.rows.map((_, i) =>
      individualResponse(changes(without(i), "grip"), changes(without(i), "swing")),
    );
    const [low, high] = range(refits.map(({ variance }) => variance.value));
    expect(answer.leaveOneOut!.low).toBeCloseTo(low!, 9);
    expect(answer.leaveOneOut!.high).toBeCloseTo(high!, 9);
  });

  it("equals refits, for a subgroup", () => {
    const two = designs["two arms, four visits"];
    const pairs = two.primary.change();
    const sex = new Map(
      two.participants
        .objects()
        .map((row) => [String(row.participant), row.sex === "male" ? 1 : 0]),
    );
    const answer = subgroups(pairs, ["sex"]);
    const refits = pairs.rows.map((_, i) => {
      const rows = pairs.rows.filter((_, row) => row !== i);
      return effectByTrait({
        before: rows.map(({ before }) => before),
        after: rows.map(({ after }) => after),
        group: rows.map(({ arm }) => arm),
        reference: "swing",
        trait: rows.map(({ participant }) => sex.get(participant)!),
      }).interaction.value;
    });
    const [low, high] = range([...refits, answer.estimate!.value]);
    expect(answer.leaveOneOut!.low).toBeCloseTo(low!, 9);
    expect(answer.leaveOneOut!.high).toBeCloseTo(high!, 9);
  });
});

describe("a study of nine with two visits and no arm to compare", () => {
  it("has one change by the paired t test and by the model of all visits", () => {
    const study = designs["one arm"];
    const two = visitsOf(study.primary);
    expect(singleAnswers(two).map(({ part }) => part)).toEqual(["w3", "w6"]);
    expect(two.quantity).toBe("change");
  });
});

describe("words of a result", () => {
  it("give the reason of a refusal in one sentence, about golfers", () => {
    const parts = { expected: "3 or more subjects", got: "2", where: "fitVisits, subject" };
    expect(refusalSentence(new InputError(parts), "These visits do not allow the model")).toBe(
      "These visits do not allow the model: the method requires 3 or more golfers, and the data have 2.",
    );
    expect(() => refusalSentence(new TypeError("fault"))).toThrow(TypeError);
  });

  it("say plainly that golfers measured once cannot be compared between visits", () => {
    const why = "The visits can be compared when golfers were measured on two visits or more.";
    const ids = winterBlock.occasions.map(({ id }) => id);
    const people = winterBlock.arms.reduce((sum, arm) => sum + arm.people, 0);
    const missedVisits = Array.from({ length: people }, (_, i) =>
      ids.filter((_, j) => j !== i % ids.length).map((occasion) => ({ person: i, occasion })),
    ).flat();
    const { primary } = invented({ missedVisits });
    expect(primary.rows.length).toBeGreaterThan(10);
    for (const { unanswered } of singleAnswers(visitsOf(primary))) expect(unanswered).toBe(why);
  });

  it("write negative numbers with a minus sign, and zero without one", () => {
    expect([-7.44, -0.04, 3].map((value) => decimalText(value, 1))).toEqual(["−7.4", "0.0", "3.0"]);
  });
});
