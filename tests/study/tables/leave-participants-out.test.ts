import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { pairedChange } from "../../../lib/stats/change.js";
import { openStudy } from "../../../lib/study/open.js";
import type { Study } from "../../../lib/study/study.js";
import { beforeAfter } from "../../../lib/study/tables/before-after.js";
import { leaveParticipantsOut } from "../../../lib/study/tables/leave-participants-out.js";
import { summariseGrip } from "../../../lib/study/tables/summary.js";
import { participantColumn, trialsByPerson } from "../../../lib/study/tables/trials-by-person.js";

const study = openStudy("winter-block");
const where = { hand: "lead", position: "address" };
const pairsOf = (s: Study) =>
  beforeAfter(s, summariseGrip(s, { rule: "mean3" }), { before: "w0", after: "w6", where });

describe("leaveParticipantsOut", () => {
  it("is the estimate made again from the columns less one person", () => {
    const left = leaveParticipantsOut(
      study,
      (s) => pairedChange(pairsOf(s).before, pairsOf(s).after).change,
    );
    const whole = pairsOf(study);
    for (const { label, value } of left.without) {
      const keep = (_: number, i: number) => whole.participant[i] !== label;
      const expected = pairedChange(whole.before.filter(keep), whole.after.filter(keep)).change
        .value;
      expect(value).toBeCloseTo(expected, 12);
    }
    expect(left.n).toBe(study.participants.totalRows());
    expect(left.low).toBe(Math.min(...left.without.map((one) => one.value)));
  });

  it("names the person on whom the verdict hangs", () => {
    const people = participantColumn(study, pairsOf(study).participant, "participant") as string[];
    const pillar = people[3]!;
    const left = leaveParticipantsOut(study, (s) => {
      const has = pairsOf(s).participant.includes(pillar);
      return {
        value: has ? 2 : 1,
        interval: { low: has ? 1 : -1, high: 3, level: 0.95, method: "made" },
      };
    });
    expect(left.changesConclusion).toEqual([pillar]);
    expect([left.low, left.high]).toEqual([1, 2]);
  });

  it("tells whose absence makes the estimate impossible, and lets other faults through", () => {
    const n = study.participants.totalRows();
    const refused = leaveParticipantsOut(study, (s) => {
      if (s.participants.totalRows() < n)
        throw new InputError({ expected: "all", got: "less", where: "test" });
      return { value: 1 };
    });
    expect(refused.impossible.length).toBe(n);
    expect(() =>
      leaveParticipantsOut(study, () => {
        throw new TypeError("a fault");
      }),
    ).toThrow("a fault");
  });
});

describe("trialsByPerson", () => {
  it("holds the trials of the file in their order, whole series only", () => {
    const trials = trialsByPerson(study, { trials: "grip", where: { ...where, occasion: "w0" } });
    expect(trials.n + trials.missing.length).toBe(study.participants.totalRows());
    expect(trials.table.every((row) => row.length === 3)).toBe(true);
    const rows = study.gripTrials.objects() as Record<string, unknown>[];
    const own = rows.filter(
      (r) =>
        r.participant === trials.participant[0] &&
        r.occasion === "w0" &&
        r.hand === "lead" &&
        r.position === "address",
    );
    expect(trials.table[0]).toEqual(
      own.sort((a, b) => Number(a.trial) - Number(b.trial)).map((r) => r.force_kgf),
    );
  });

  it("refuses a choice that leaves two series a person", () => {
    expect(() => trialsByPerson(study, { trials: "grip", where: { occasion: "w0" } })).toThrow(
      /one trial of each number/,
    );
  });
});

describe("participantColumn", () => {
  it("follows the list, and refuses strangers", () => {
    const ids = pairsOf(study).participant.slice(0, 4).reverse();
    const table = study.participants.objects() as Record<string, unknown>[];
    expect(participantColumn(study, ids, "age_years")).toEqual(
      ids.map((id) => table.find((r) => r.participant === id)!.age_years),
    );
    expect(() => participantColumn(study, ["nobody"], "sex")).toThrow(/participants of the study/);
    expect(() => participantColumn(study, ids, "shoe_size")).toThrow(/one of the columns/);
  });
});
