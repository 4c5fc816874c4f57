import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { jackknife } from "../../lib/stats/bootstrap/jackknife.js";
import { pairedChange } from "../../lib/stats/change.js";
import { leaveOneOut } from "../../lib/stats/leave-one-out.js";
import { fitLine } from "../../lib/stats/regression.js";

describe("without each person", () => {
  const change = [2, 1.8, 2.2, 1.9, 9, 2.1];
  const people = ["a", "b", "c", "d", "e", "f"];
  const meanOf = (rows: number[]) =>
    pairedChange(
      rows.map(() => 0),
      rows.map((i) => change[i]!),
    ).change;

  it("gives the leave-one-out values of the jackknife", () => {
    const found = leaveOneOut(people, meanOf);
    const { values } = jackknife([change], ([x]) => x!.reduce((a, b) => a + b, 0) / x!.length);
    for (const [i, { label, value }] of found.without.entries()) {
      expect(label).toBe(people[i]);
      expect(value).toBeCloseTo(values[i]!, 12);
    }
    expect(found.low).toBeCloseTo(2, 12);
    expect(found.n).toBe(6);
  });

  it("names those without whom the verdict changesConclusion", () => {
    // 9 alone widens the interval to include 0: t = 2.7 with it, 5 df
    const wide = [0.2, 0.1, 0.3, 0.15, 9, 0.25];
    const found = leaveOneOut(
      people,
      (rows) =>
        pairedChange(
          rows.map(() => 0),
          rows.map((i) => wide[i]!),
        ).change,
    );
    expect(found.changesConclusion).toEqual(["e"]);
  });

  it("leaves out all rows of a person at once, and tells what cannot be made", () => {
    const seen: number[][] = [];
    leaveOneOut(["a", "a", "b"], (rows) => {
      seen.push(rows);
      return { value: rows.length };
    });
    expect(seen).toEqual([[0, 1, 2], [2], [0, 1]]);
    const line = leaveOneOut(
      ["a", "b", "b", "c"],
      (rows) =>
        fitLine({ x: rows.map((i) => [1, 2, 3, 4][i]!), y: rows.map((i) => [1, 3, 2, 5][i]!) })
          .slope,
    );
    expect(line.impossible.map(({ label }) => label)).toEqual(["b"]);
    expect(line.n).toBe(3);
  });

  it("passes on what fails for everyone", () => {
    expect(() => leaveOneOut(["a", "b"], () => fitLine({ x: [1], y: [1] }).slope)).toThrow(
      InputError,
    );
    expect(() => leaveOneOut([1.5, 2] as never, () => ({ value: 1 }))).toThrow(InputError);
  });
});

describe("leaving each study out", () => {
  const studies = ["North", "South", "South"];
  const gains = [4, 1, 3];
  const meanOf = (rows: number[]) => {
    const value = rows.reduce((total, i) => total + gains[i]!, 0) / rows.length;
    return { value, interval: { low: value - 3, high: value + 3, level: 0.95, method: "made" } };
  };

  it("leaves all rows of a study out, names studies and the one that changesConclusion the verdict", () => {
    // all three: 8/3, not above zero; without South: 4, above zero; without North: 2
    const found = leaveOneOut(studies, meanOf, { leaving: "study" });
    expect(found).toMatchObject({
      leaving: "study",
      n: 2,
      low: 2,
      high: 4,
      changesConclusion: ["South"],
    });
    expect(found.without).toEqual([
      { label: "North", value: 2 },
      { label: "South", value: 4 },
    ]);
  });

  it("tells without which study nothing can be made, and refuses what are no labels", () => {
    const found = leaveOneOut(
      ["A", "B"],
      (rows) => {
        if (rows.length < 2)
          throw new InputError({ expected: "two studies", got: "one", where: "test" });
        return { value: 1 };
      },
      { leaving: "study" },
    );
    expect(found.impossible.map(({ label }) => label)).toEqual(["A", "B"]);
    expect(() => leaveOneOut([null] as never, () => ({ value: 1 }), { leaving: "study" })).toThrow(
      InputError,
    );
  });
});
