import fc from "fast-check";
import { JSDOM, VirtualConsole } from "jsdom";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import type { StudyDesign } from "../../../lib/study/package/design.js";
import { gripRows, recordingSheets, sideOf } from "../../../lib/study/plan/sheets.js";
import { testOrders, williamsOrders } from "../../../lib/study/plan/sheets-order.js";
import { sheetPage } from "../../../lib/study/plan/sheets-page.js";

const design: StudyDesign = {
  arms: [{ id: "grip", title: "Grip" }],
  occasions: [
    { id: "before", week: 0, title: "Before" },
    { id: "after", week: 6, title: "After" },
  ],
  hands: ["lead", "trail"],
  positions: [
    { id: "seated", title: "Seated" },
    { id: "address", title: "Address" },
    { id: "overhead", title: "Overhead" },
  ],
  clubs: ["driver"],
  gripTrials: 3,
  swings: 8,
  restSeconds: 60,
};
const codes = (n: number) => Array.from({ length: n }, (_, i) => `G${i + 1}`);
const people = (n: number) => codes(n).map((participant) => ({ participant }));

/** How often each value comes up. */
function tally(values: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return counts;
}

describe("Williams design (1949): balanced for first-order carry-over", () => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12])("%i conditions", (count) => {
    const orders = williamsOrders(count);
    expect(orders.length).toBe(count % 2 === 0 || count === 1 ? count : 2 * count);
    for (const order of orders)
      expect([...order].sort((a, b) => a - b)).toEqual([...Array(count).keys()]);
    const inPlace = tally(
      orders.flatMap((order) => order.map((one, place) => `${one} at ${place}`)),
    );
    expect(new Set(inPlace.values()).size).toBe(1);
    expect(inPlace.size).toBe(count * count);
    const pairs = tally(
      orders.flatMap((order) => order.slice(1).map((one, i) => `${order[i]} ${one}`)),
    );
    expect(pairs.size).toBe(count * (count - 1));
    if (count > 1) expect(new Set(pairs.values()).size).toBe(1);
  });

  it.each([0, 13, 2.5, Number.NaN])("refuses %s conditions", (count) => {
    expect(() => williamsOrders(count)).toThrow(InputError);
  });
});

describe("test orders", () => {
  const options = { positions: ["a", "b", "c"], hands: ["lead", "trail"], seed: 11 };

  it("twelve golfers take every order with every first hand once", () => {
    const drawn = testOrders(codes(12), options);
    const kinds = tally(
      drawn.map(({ positions, firstHand }) => `${positions.join("")} ${firstHand}`),
    );
    expect(kinds.size).toBe(12);
  });

  it("with any number of golfers no order is used more than once more than another", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.nat(), (n, seed) => {
        const kinds = tally(
          testOrders(codes(n), { ...options, seed }).map(
            ({ row, firstHand }) => `${row}${firstHand}`,
          ),
        );
        const counts = [...kinds.values(), ...Array(12 - kinds.size).fill(0)];
        return Math.max(...counts) - Math.min(...counts) <= 1;
      }),
      { seed: 1949, numRuns: 200 },
    );
  });

  it("another seed draws another order; the same seed the same", () => {
    expect(testOrders(codes(12), options)).toEqual(testOrders(codes(12), options));
    expect(testOrders(codes(12), options)).not.toEqual(
      testOrders(codes(12), { ...options, seed: 12 }),
    );
  });

  it("refuses a code that stands twice", () => {
    expect(() => testOrders(["A", "A"], options)).toThrow(/each code once/);
  });
});

describe("recording sheets", () => {
  const sheets = recordingSheets(people(5), { occasion: "before", design, seed: 3 });

  it("hold every planned trial once", () => {
    expect(sheets.grip.length).toBe(5 * 3 * 2 * 3);
    const keys = sheets.grip.map(({ participant, position, handRole, trial }) =>
      [participant, position, handRole, trial].join(),
    );
    expect(new Set(keys).size).toBe(keys.length);
    expect(sheets.swings.length).toBe(5 * 8);
  });

  it("take the hands in turn within a position, trials rising", () => {
    for (let i = 1; i < sheets.grip.length; i++) {
      const [last, next] = [sheets.grip[i - 1]!, sheets.grip[i]!];
      if (last.participant !== next.participant || last.position !== next.position) continue;
      expect(next.handRole).not.toBe(last.handRole);
      expect(next.trial - last.trial).toBe(i % 2 === 0 ? 1 : 0);
    }
  });

  it("give a golfer the same order at every visit", () => {
    const later = recordingSheets(people(5), { occasion: "after", design, seed: 3 });
    expect(later.orders).toEqual(sheets.orders);
  });

  it("name the side where the playing side is known: the left hand of a right-sided player leads", () => {
    expect([sideOf("lead", "right"), sideOf("trail", "right")]).toEqual(["left", "right"]);
    expect([sideOf("lead", "left"), sideOf("trail", "left")]).toEqual(["right", "left"]);
    expect(sideOf("lead")).toBe("lead");
    const [row] = gripRows(
      recordingSheets([{ participant: "A", plays: "left" }], {
        occasion: "after",
        design,
        seed: 1,
      }),
      "kgf",
    );
    expect(row).toMatchObject({ participant: "A", occasion: "after", trial: "1", unit: "kgf" });
    expect(["left", "right"]).toContain(row!.hand);
  });

  it("rest 60 s where the design does not say", () => {
    const { restSeconds, ...silent } = design;
    expect(
      recordingSheets(people(1), { occasion: "after", design: silent, seed: 1 }).restSeconds,
    ).toBe(60);
    expect(restSeconds).toBe(60);
  });

  it("refuse an unknown occasion and an empty list", () => {
    expect(() => recordingSheets(people(2), { occasion: "later", design, seed: 1 })).toThrow(
      /before, after/,
    );
    expect(() => recordingSheets([], { occasion: "after", design, seed: 1 })).toThrow(InputError);
  });
});

describe("the printable page", () => {
  const hostile = '<script>alert(1)</script>"&';
  const page = sheetPage(
    recordingSheets([{ participant: hostile, plays: "right" }, { participant: "B" }], {
      occasion: "before",
      design,
      seed: 1,
    }),
    {
      people: [{ participant: hostile, plays: "right" }, { participant: "B" }],
      study: { title: hostile, design, cautions: [hostile] },
      forceUnit: "kgf",
      speedUnit: "mph",
    },
  );
  const { document } = new JSDOM(page, {
    runScripts: "outside-only",
    pretendToBeVisual: true,
    virtualConsole: new VirtualConsole(),
  }).window;
  const text = document.body.textContent!;

  it("shows hostile text as text and loads nothing", () => {
    expect(document.querySelectorAll("script, link, img, iframe").length).toBe(0);
    expect(text).toContain(hostile);
  });

  it("has a sheet a golfer with a row a trial", () => {
    const sheets = [...document.querySelectorAll(".person")];
    expect(sheets.length).toBe(2);
    for (const sheet of sheets) expect(sheet.querySelectorAll("tbody tr").length).toBe(18 + 8);
    expect(sheets[0]!.textContent).toMatch(/left \(lead\)/);
  });

  it.each([
    ["pain", /pain/i],
    ["hand or wrist surgery", /operation on a hand or wrist in the last three months/],
    ["blood pressure", /blood pressure that is not under control/],
    ["breathing out", /breathe out and squeeze/],
    ["stop rule", /Stop at once on pain/],
    ["clear swing area", /Clear the swing area/],
    ["rest", /at least 60 seconds between two squeezes of the same hand/],
    ["deference", /ethics committee.*licensed professional/],
    ["how the order was made", /Williams design.*Seed 1\./],
  ])("says what it must of %s", (_topic, words) => {
    expect(text).toMatch(words);
  });
});
