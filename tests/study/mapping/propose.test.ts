import { describe, expect, it } from "vitest";
import { proposeMapping } from "../../../lib/study/mapping/propose.js";
import { meaningOf } from "../../../lib/study/mapping/value-words.js";
import { golfers, golfersFile, type Layout, layouts, study, swings, trials } from "./layouts.js";

const bytes = (part: string | Uint8Array) =>
  typeof part === "string" ? new TextEncoder().encode(part) : part;

function proposalFor({ files, people }: Layout) {
  const described = people ? { ...study, resources: [] as unknown[] } : study;
  // Data Package wants a resource at least; a study of none has an empty file.
  const whole = people
    ? { ...described, resources: [{ name: "participants", path: "participants.csv" }] }
    : described;
  const own = people ? "participant,arm,plays\n" : golfersFile;
  const all = { "datapackage.json": JSON.stringify(whole), "participants.csv": own, ...files };
  const map = new Map(Object.entries(all).map(([path, part]) => [path, bytes(part)]));
  return proposeMapping({ name: "invented", files: map, faults: [], unread: Object.keys(files) });
}

/** The outcome of a layout: what was read is what is true, it was asked, or it is wrong. */
function outcomeOf(layout: Layout): { outcome: "right" | "asked" | "wrong"; why: string } {
  const { questions, check } = proposalFor(layout);
  if (questions.length > 0)
    return { outcome: "asked", why: questions.map(({ text }) => text).join(" ") };
  const { study: read, issues } = check;
  const errors = issues.filter(({ severity }) => severity === "stop" || severity === "error");
  const said = errors
    .slice(0, 3)
    .map(({ file, message }) => `${file}: ${message}`)
    .join(" ");
  if (!read) return { outcome: "wrong", why: said };
  const force = new Map(
    (read.gripTrials.objects() as Record<string, unknown>[]).map((row) => [
      [row.participant, row.occasion, row.hand, row.position, row.trial].join(" "),
      Number(row.force_kgf),
    ]),
  );
  const speed = new Map(
    (read.swingTrials.objects() as Record<string, unknown>[]).map((row) => [
      [row.participant, row.occasion, row.club, row.swing].join(" "),
      Number(row.speed_mph),
    ]),
  );
  const near = (a: number | undefined, b: number) => a !== undefined && Math.abs(a - b) < 1e-3;
  const grip = layout.has.grip ? trials : [];
  const swung = layout.has.swings ? swings : [];
  const right =
    force.size === grip.length &&
    grip.every((t) =>
      near(force.get([t.golfer, t.visit, t.hand, t.position, t.trial].join(" ")), t.kgf),
    ) &&
    speed.size === swung.length &&
    swung.every((s) => near(speed.get([s.golfer, s.visit, "driver", s.swing].join(" ")), s.mph)) &&
    (read.participants.array("participant") as string[]).join() ===
      golfers.map(({ code }) => code).join() &&
    (read.participants.array("arm") as string[]).join() === golfers.map(({ arm }) => arm).join();
  return {
    outcome: right ? "right" : "wrong",
    why: `${force.size} squeezes, ${speed.size} swings. ${said}`,
  };
}

describe("forty-eight exports laid out differently", () => {
  const outcomes = layouts.map((layout) => ({ layout, ...outcomeOf(layout) }));

  it("are forty-eight", () => {
    expect(layouts.length).toBe(48);
  });

  it.each(outcomes.map((one) => [one.layout.name, one] as const))(
    "%s",
    (_, { layout, outcome, why }) => {
      expect([outcome, outcome === "right" ? "" : why]).toEqual([
        layout.asks ? "asked" : "right",
        layout.asks ? why : "",
      ]);
    },
  );
});

describe("what only a person can decide is asked", () => {
  const head = "Player,Visit,Hand,Position,Trial,Grip (kg)";
  const rows = (change: (cells: string[]) => string[], heading = head) =>
    `${heading}\n${trials
      .map((t) =>
        change([t.golfer, t.visit, t.hand, t.position, String(t.trial), String(t.kgf)]).join(","),
      )
      .join("\n")}\n`;
  const asked = (file: string, name = "export.csv") => {
    const { questions } = proposalFor({ name: "", files: { [name]: file }, has: {} });
    return questions.map(({ key }) => key);
  };

  it.each([
    [
      "03/04/2025 as a date",
      rows((c) => [...c, c[1] === "w0" ? "03/04/2025" : "05/06/2025"], `${head},Date`),
      "export.csv: date",
    ],
    [
      "dominant and other hand",
      rows(([g, v, h, ...more]) => [g!, v!, h === "lead" ? "D" : "ND", ...more]),
      "export.csv: hand D",
    ],
    [
      "a code for a visit",
      rows(([g, v, ...more]) => [g!, v === "w0" ? "A" : "B", ...more]),
      "export.csv: occasion A",
    ],
    [
      "three visit counts for two visits",
      rows(([g, , h, p, t, f]) => [g!, `T${t}3`, h!, p!, t!, f!]),
      "export.csv: occasion T13",
    ],
    [
      "a unit that the size of the values cannot decide",
      rows((c) => c, "Player,Visit,Hand,Position,Trial,Grip"),
      "export.csv: unit of force",
    ],
    [
      "a golfer spelt in another way",
      rows(([g, ...more]) => [g === "G01" ? "g 1" : g!, ...more]),
      "export.csv: golfer g 1",
    ],
  ])("%s", (_, file, key) => {
    expect(asked(file)).toContain(key);
  });

  it("H and M for two sexes in one language and one in another", () => {
    expect(meaningOf(["H", "M"], "sex")).toBeUndefined();
    expect(meaningOf(["H", "F"], "sex")).toEqual({ H: "male", F: "female" });
  });

  it("a code in two storage forms of the same letters is one golfer without a question", () => {
    const [code, other] = ["Zoë", "Zoë"].map((text, i) => text.normalize(i === 0 ? "NFC" : "NFD"));
    const files = new Map(
      Object.entries({
        "datapackage.json": JSON.stringify(study),
        "participants.csv": golfersFile.replace("G01", code!),
        "export.csv": rows(([g, ...more]) => [g === "G01" ? other! : g!, ...more]),
      }).map(([path, part]) => [path, bytes(part)]),
    );
    const { questions, check } = proposeMapping({
      name: "invented",
      files,
      faults: [],
      unread: ["export.csv"],
    });
    expect(questions).toEqual([]);
    const read = check.study!.gripTrials.array("participant") as string[];
    expect(read.filter((one) => one === code)).toHaveLength(16);
  });

  it("an answer settles it, and is shown as a line of the mapping", () => {
    const file = rows(([g, ...more]) => [g === "G01" ? "g 1" : g!, ...more]);
    const files = new Map(
      Object.entries({
        "datapackage.json": JSON.stringify(study),
        "participants.csv": golfersFile,
        "export.csv": file,
      }).map(([path, part]) => [path, bytes(part)]),
    );
    const answers = new Map([["export.csv: golfer g 1", "G01"]]);
    const { questions, resources, check } = proposeMapping(
      { name: "invented", files, faults: [] },
      answers,
    );
    expect(questions).toEqual([]);
    expect(resources[0]!.reading.values).toEqual({ participant: { "g 1": "G01" } });
    expect(check.study!.gripTrials.totalRows()).toBe(trials.length);
  });
});
