import { afterEach, describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { type DisplayBundle, onDisplay } from "../../lib/show/display.js";
import { finding } from "../../lib/show/finding.js";
import { prose } from "../../lib/show/prose.js";

const shown: DisplayBundle[] = [];
const restore = onDisplay((bundle) => shown.push(bundle));
afterEach(() => {
  shown.length = 0;
});

const good = {
  id: "lead-address",
  title: "Lead-hand grip at address: change",
  value: 2.6412,
  low: 1.881,
  high: 3.377,
  unit: "kgf",
  count: { n: 24, of: "golfers" },
  method: "paired t",
} as const;

describe("finding", () => {
  it("returns a frozen record with its sentence", () => {
    const record = finding(good);
    expect(record.sentence).toBe(
      "Lead-hand grip at address: change: 2.6 kgf (95 % CI 1.9 to 3.4), n = 24 golfers, paired t.",
    );
    expect(record).toMatchObject({ kind: "finding", value: 2.6412, level: 0.95, count: { n: 24 } });
    expect(Object.isFrozen(record)).toBe(true);
    expect(JSON.parse(JSON.stringify(record))).toEqual(record);
  });

  it("shows one message with the record, markup and plain text", () => {
    const record = finding(good);
    expect(shown).toHaveLength(1);
    expect(Object.keys(shown[0]!.data).sort()).toEqual([
      "application/vnd.tautline.finding+json",
      "text/html",
      "text/plain",
    ]);
    expect(shown[0]!.data["application/vnd.tautline.finding+json"]).toEqual(record);
    expect(shown[0]!.data["text/html"]).toContain("26&nbsp;N");
  });

  it("takes an estimate as a statistic returned it", () => {
    const { value, low, high, method, ...rest } = good;
    const estimate = { value, interval: { low, high, level: 0.9, method } };
    const record = finding({ ...rest, estimate });
    expect(record).toMatchObject({ value, low, high, level: 0.9, method: "paired t" });
    expect(finding({ ...rest, estimate, method: "BCa" }).method).toBe("BCa");
  });

  it("carries source, leaveOneOut and reference values", () => {
    const source = {
      files: ["grip-trials.csv"],
      rowsUsed: 144,
      setAside: [{ reason: "device fault", rows: 3 }],
      participants: ["G01", "007"],
    };
    const leaveOneOut = { low: 2.1, high: 3, changesConclusion: [] };
    const references = [{ name: "smallest worthwhile change", value: 1.6 }];
    const record = finding({ ...good, source, leaveOneOut, references, tolerance: 0.01 });
    expect(record).toMatchObject({ source, leaveOneOut, references, tolerance: 0.01 });
    expect(Object.isFrozen(record.source?.setAside)).toBe(true);
  });

  it("says when it is studies that were left out, and refuses anything else", () => {
    const leaveOneOut = {
      leaving: "study" as const,
      low: 2.1,
      high: 3,
      changesConclusion: ["North"],
    };
    expect(finding({ ...good, leaveOneOut }).leaveOneOut).toEqual(leaveOneOut);
    expect(() =>
      finding({ ...good, leaveOneOut: { ...leaveOneOut, leaving: "club" as never } }),
    ).toThrow(/"person" or "study"/);
  });

  it.each([
    ["no id", { id: "" }, "finding, id"],
    ["an id with markup", { id: "<b>" }, "finding, id"],
    ["a value that is not finite", { value: Number.NaN }, "finding lead-address, value"],
    ["crossed limits", { low: 4, high: 3 }, "finding lead-address"],
    ["one limit", { low: undefined }, "finding lead-address, low"],
    ["a level in percent", { level: 95 }, "finding lead-address, level"],
    ["part of a person", { count: { n: 2.5, of: "golfers" } }, "finding lead-address, count.n"],
    ["a noun it does not know", { count: { n: 2, of: "balls" } }, "finding lead-address, count.of"],
    ["no method", { method: " " }, "finding lead-address, method"],
    ["no unit", { unit: undefined }, "finding lead-address, unit"],
    ["a negative tolerance", { tolerance: -1 }, "finding lead-address, tolerance"],
    ["an unknown field", { tolerence: 0.1 }, "finding, options"],
    ["an estimate and a value", { estimate: { value: 1 } }, "finding lead-address"],
    [
      "a source without files",
      { source: { rowsUsed: 1, setAside: [], participants: [] } },
      "finding lead-address, source.files",
    ],
  ])("refuses %s and shows nothing", (_, change, where) => {
    let caught: unknown;
    try {
      finding({ ...good, ...change } as never);
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(InputError);
    expect((caught as InputError).where).toBe(where);
    expect(shown).toHaveLength(0);
  });

  it("takes a tolerance up to a tenth of the interval, and names both numbers beyond it", () => {
    const from2To4 = { ...good, value: 3, low: 2, high: 4 };
    expect(finding({ ...from2To4, tolerance: 0.2 }).tolerance).toBe(0.2);
    expect(finding({ ...from2To4, low: 0.1, high: 0.4, tolerance: 0.03 }).tolerance).toBe(0.03);
    expect(() => finding({ ...from2To4, tolerance: 0.2001 })).toThrow(
      "expected a tolerance of at most 0.2, a tenth of the interval from 2 to 4, got 0.2001",
    );
    const { low, high, ...pointOnly } = from2To4;
    expect(finding({ ...pointOnly, tolerance: 5 }).tolerance).toBe(5);
  });

  it("escapes markup in every text of its HTML form", () => {
    finding({ ...good, title: "<img src=x onerror=alert(1)>", method: "<script>" });
    expect(shown[0]!.data["text/html"]).not.toMatch(/<(img|script)/);
  });

  it("shows nowhere once the earlier receiver is back", () => {
    restore();
    finding(good);
    expect(shown).toHaveLength(0);
    onDisplay((bundle) => shown.push(bundle));
  });
});

describe("prose", () => {
  it("shows escaped paragraphs", () => {
    prose("24 of 26 came back.\n\nThe rest <withdrew>.");
    expect(shown[0]!.data["text/html"]).toBe(
      "<p>24 of 26 came back.</p><p>The rest &lt;withdrew&gt;.</p>",
    );
    expect(shown[0]!.data["application/vnd.tautline.prose+json"]).toEqual({
      kind: "prose",
      text: "24 of 26 came back.\n\nThe rest <withdrew>.",
    });
  });
});
