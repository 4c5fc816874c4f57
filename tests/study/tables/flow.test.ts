import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { openStudy } from "../../../lib/study/open.js";
import { measuredDays, peopleFlow, whoTookPart } from "../../../lib/study/tables/flow.js";
import { trainingByArm } from "../../../lib/study/tables/training-by-arm.js";
import { withoutParticipant } from "../../../lib/study/tables/variants.js";

type Row = Record<string, string>;

/** The rows of a file of the winter block, as they stand. */
function rows(file: string): Row[] {
  const lines = readFileSync(`data/winter-block/${file}`, "utf8").trim().split("\n");
  const [head, ...rest] = lines.map((line) => line.split(","));
  return rest.map((cells) => Object.fromEntries(head!.map((name, i) => [name, cells[i]!])));
}

const study = openStudy("winter-block");
const people = rows("participants.csv");
const tests = [...rows("grip-trials.csv"), ...rows("swing-trials.csv")];

const tally = (values: string[]) =>
  [...new Set(values)].map((value) => ({
    value,
    people: values.filter((one) => one === value).length,
  }));

describe("the flow of people", () => {
  it("counts the files' own rows", () => {
    const seen = (id: string, occasion: string) =>
      tests.some((row) => row.participant === id && row.occasion === occasion);
    const arms = ["grip", "swing"].map((arm) => {
      const own = people.filter((person) => person.arm === arm).map((one) => one.participant!);
      const measured = ["w0", "w3", "w6"].map((week) => own.filter((id) => seen(id, week)));
      return {
        enrolled: own.length,
        seen: measured.map(({ length }) => length),
        atBothVisits: measured[0]!.filter((id) => measured[2]!.includes(id)).length,
      };
    });
    const flow = peopleFlow(study);
    expect(flow.enrolled).toBe(people.length);
    expect(
      flow.arms.map(({ enrolled, seen, atBothVisits }) => ({
        enrolled,
        seen: seen.map((one) => one.people),
        atBothVisits,
      })),
    ).toEqual(arms);
    const left = people.filter((one) => one.withdrew_on);
    const told = flow.arms.flatMap(({ withdrew }) => withdrew);
    expect(told.reduce((sum, one) => sum + one.people, 0)).toBe(left.length);
    expect(told.map(({ reason }) => reason).sort()).toEqual([
      "back pain at work, not from the study",
      "moved away",
    ]);
  });

  it("puts each loss between the visits where it happened, and every visit adds up", () => {
    const flow = peopleFlow(study);
    // 012 left on 15 January, after week 0; 016 on 5 February, after week 3 (participants.csv)
    expect(flow.arms.map(({ withdrew }) => withdrew)).toEqual([
      [{ reason: "moved away", people: 1, after: "Halfway", before: "After the block" }],
      [
        {
          reason: "back pain at work, not from the study",
          people: 1,
          after: "Before the block",
          before: "Halfway",
        },
      ],
    ]);
    for (const { enrolled, seen, withdrew } of flow.arms) {
      for (const [i, { people, missed }] of seen.entries()) {
        const visits = seen.slice(0, i + 1).map(({ occasion }) => occasion);
        const gone = withdrew.filter(({ before }) => visits.includes(before ?? ""));
        const lost = gone.reduce((sum, one) => sum + one.people, 0);
        expect(people + missed + lost).toBe(enrolled);
      }
    }
  });

  it("counts one person less when one is left out", () => {
    const flow = peopleFlow(withoutParticipant(study, "001"));
    expect(flow.enrolled).toBe(people.length - 1);
  });

  it("tells who took part, and when", () => {
    const ages = people.map((one) => Number(one.age_years));
    expect(whoTookPart(study)).toEqual({
      kind: "whoTookPart",
      ages: { least: Math.min(...ages), most: Math.max(...ages) },
      sex: tally(people.map((one) => one.sex!)),
      plays: tally(people.map((one) => one.plays!)),
    });
    const days = tests.map((row) => row.date!).sort();
    expect(measuredDays(study)).toEqual({ first: days[0], last: days.at(-1) });
  });
});

describe("training by arm", () => {
  it("counts the log's own rows, and takes the median of the minutes", () => {
    const armOf = new Map(people.map((one) => [one.participant, one.arm]));
    const log = rows("training-log.csv");
    const expected = ["grip", "swing"].map((arm) => {
      const own = log.filter((row) => armOf.get(row.participant!) === arm);
      const done = own.filter((row) => row.completed === "yes");
      const minutes = done.map((row) => Number(row.minutes)).sort((a, b) => a - b);
      const half = minutes.length / 2;
      return {
        people: new Set(own.map((row) => row.participant)).size,
        logged: own.length,
        completed: done.length,
        discomfort: own.filter((row) => /mild|stop/.test(row.discomfort!)).length,
        minutes: (minutes[Math.ceil(half) - 1]! + minutes[Math.floor(half)]!) / 2,
      };
    });
    expect(trainingByArm(study)).toMatchObject(expected);
  });
});
