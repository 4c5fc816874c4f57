import { describe, expect, it } from "vitest";
import { countedEntries, missingWords } from "../../lib/form/form-export.js";
import {
  identityOf,
  type JournalEntry,
  type JournalEvent,
  standingRows,
  unitNow,
} from "../../lib/form/journal.js";

import { contentOf } from "./content.js";

const journal = (...events: JournalEvent[]): JournalEntry[] =>
  events.map((what, i) => ({ number: i + 1, at: "2025-03-01T09:00:00+01:00", what }));
const row = (force: string, trial = "1") => ({
  participant: "001",
  occasion: "w0",
  hand: "left",
  position: "seated",
  trial,
  force,
});
const recorded = (force: string, trial = "1"): JournalEvent => ({
  event: "row",
  file: "grip-trials",
  row: row(force, trial),
  kept: [],
});

describe("the journal of a form", () => {
  it("has the corrected value and keeps the old one with the reason", () => {
    const [only, ...more] = standingRows(
      journal(
        recorded("41.5"),
        { event: "corrected", entry: 1, row: row("45.1"), reason: "digits turned" },
        { event: "corrected", entry: 1, row: row("45.2"), reason: "again" },
      ),
    );
    expect(more).toEqual([]);
    expect(only!.row.force).toBe("45.2");
    expect(only!.earlier.map((one) => [one.row.force, one.reason])).toEqual([
      ["41.5", "digits turned"],
      ["45.1", "again"],
    ]);
  });

  it("leaves a withdrawn trial out and keeps the order of the others", () => {
    const rows = standingRows(
      journal(
        recorded("41", "1"),
        recorded("42", "2"),
        { event: "withdrawn", entry: 1, reason: "wrong golfer" },
        recorded("43", "1"),
      ),
    );
    expect(rows.map((one) => one.row.force)).toEqual(["42", "43"]);
  });

  it("ignores a correction of an entry that was withdrawn", () => {
    expect(
      standingRows(
        journal(
          recorded("41"),
          { event: "withdrawn", entry: 1, reason: "x" },
          { event: "corrected", entry: 1, row: row("50"), reason: "y" },
        ),
      ),
    ).toEqual([]);
  });

  it("tells trials apart by golfer, visit, hand, position and number, not by value", () => {
    expect(identityOf("grip-trials", row("1"))).toBe(identityOf("grip-trials", row("2")));
    expect(identityOf("grip-trials", row("1"))).not.toBe(identityOf("grip-trials", row("1", "2")));
  });

  it("knows the unit after its changes", () => {
    const changed = journal({
      event: "unit-changed",
      quantity: "force",
      from: "kgf",
      to: "lbf",
      reason: "display switched",
    });
    expect(unitNow(changed, "force", "kgf")).toBe("lbf");
    expect(unitNow(changed, "speed", "mph")).toBe("mph");
  });
});

it("counts one entry as one, and says what a visit lacks", () => {
  expect(countedEntries(1, "row")).toBe("1 row");
  expect(countedEntries(1, "entry")).toBe("1 entry");
  expect(countedEntries(0, "entry")).toBe("0 entries");
  const content = contentOf("coach-nine");
  const { positions, hands, gripTrials, clubs, swings } = content.design;
  const planned = positions.length * hands.length * gripTrials;
  expect(missingWords(content, { squeezes: planned - 1, swings: clubs.length * swings })).toEqual([
    `Squeezes not recorded: 1 of ${planned}.`,
  ]);
});
