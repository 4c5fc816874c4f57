import { csvLines } from "../../csv-writing.js";
import type { Study } from "../study.js";
import { summariseGrip, summariseSpeed } from "./summary.js";

/** One value of the analysis data set: a golfer at a visit, with hand and position or club. */
export interface TidyRow {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm. */
  readonly arm: string;
  /** Id of the visit. */
  readonly occasion: string;
  /** Week of the visit. */
  readonly week: number;
  /** What was measured. */
  readonly outcome: "grip" | "speed";
  /** lead or trail; "" for a swing, and where a rule takes both hands together. */
  readonly hand: string;
  /** Position of the grip test; "" for a swing. */
  readonly position: string;
  /** Club of the swing; "" for grip. */
  readonly club: string;
  /** The value by the rule; null where there is no valid trial. */
  readonly value: number | null;
  /** Unit of the value. */
  readonly unit: "kgf" | "mph";
  /** Rule by which trials became the value. */
  readonly rule: string;
  /** Valid trials that the value rests on. */
  readonly trials: number;
  /** Trials that the rule asks for. */
  readonly planned: number;
}

/** Columns of the analysis data set with what they mean, in order: its data dictionary. */
const tidyDictionary: readonly {
  readonly column: keyof TidyRow;
  readonly type: "text" | "number";
  readonly unit: string;
  readonly means: string;
}[] = [
  { column: "participant", type: "text", unit: "", means: "Code of the golfer" },
  { column: "arm", type: "text", unit: "", means: "Id of the arm of the study" },
  { column: "occasion", type: "text", unit: "", means: "Id of the visit" },
  { column: "week", type: "number", unit: "weeks", means: "Week of the visit, 0 for the first" },
  {
    column: "outcome",
    type: "text",
    unit: "",
    means: "grip (grip strength) or speed (club-head speed)",
  },
  {
    column: "hand",
    type: "text",
    unit: "",
    means: "lead or trail; empty for speed and for rules over both hands",
  },
  {
    column: "position",
    type: "text",
    unit: "",
    means: "Position of the grip test; empty for speed",
  },
  { column: "club", type: "text", unit: "", means: "Club swung; empty for grip" },
  {
    column: "value",
    type: "number",
    unit: "see unit",
    means: "Value by the rule; empty where there is no valid trial, never zero",
  },
  {
    column: "unit",
    type: "text",
    unit: "",
    means: "Unit of the value: kgf for grip, mph for speed",
  },
  {
    column: "rule",
    type: "text",
    unit: "",
    means: "Rule by which trials became the value, as the plan states it",
  },
  {
    column: "trials",
    type: "number",
    unit: "trials",
    means: "Valid trials that the value rests on",
  },
  { column: "planned", type: "number", unit: "trials", means: "Trials that the rule asks for" },
];

interface Summary {
  readonly participant: string;
  readonly occasion: string;
  readonly hand?: string;
  readonly position?: string;
  readonly club?: string;
  readonly grip_kgf?: number;
  readonly speed_mph?: number;
  readonly n: number;
  readonly planned: number;
  readonly rule: string;
}

/**
 * The analysis data set in long format: every golfer × visit × hand × position, and × club for
 * swings, with the value by the rule of the plan and the trials behind it. A visit that was missed
 * has a row without a value.
 * @throws InputError when the rule of the plan changes between visits
 */
export function tidyRows(study: Study): TidyRow[] {
  const { design, plan } = study;
  const people = study.participants.objects() as { participant: string; arm: string }[];
  const grip = summariseGrip(study, {
    rule: plan.summaries.grip,
  }).objects() as unknown[] as Summary[];
  const speed = summariseSpeed(study, {
    rule: plan.summaries.speed,
  }).objects() as unknown[] as Summary[];
  const found = new Map([...grip, ...speed].map((row) => [keyOf(row), row]));
  const handed = grip.length === 0 || grip.some(({ hand }) => hand !== undefined);
  const hands = handed ? design.hands : [""];
  const positions = placesOf(
    design.positions.map(({ id }) => id),
    grip.flatMap(({ position }) => position ?? []),
  );
  const clubs = placesOf(
    design.clubs,
    speed.flatMap(({ club }) => club ?? []),
  );
  return people.flatMap(({ participant, arm }) =>
    design.occasions.flatMap(({ id: occasion, week }) => {
      const common = { participant, arm, occasion, week };
      const grips =
        grip.length === 0
          ? []
          : hands.flatMap((hand) => positions.map((position) => ({ hand, position, club: "" })));
      const swings =
        speed.length === 0 ? [] : clubs.map((club) => ({ hand: "", position: "", club }));
      return [...grips, ...swings].map((place): TidyRow => {
        const row = found.get(keyOf({ participant, occasion, ...place }));
        const isGrip = place.club === "";
        const value = isGrip ? row?.grip_kgf : row?.speed_mph;
        const [any] = isGrip ? grip : speed;
        return {
          ...common,
          outcome: isGrip ? "grip" : "speed",
          ...place,
          value: value ?? null,
          unit: isGrip ? "kgf" : "mph",
          rule: any?.rule ?? "",
          trials: row?.n ?? 0,
          planned: row?.planned ?? any?.planned ?? 0,
        };
      });
    }),
  );
}

function keyOf({
  participant,
  occasion,
  hand = "",
  position = "",
  club = "",
}: Pick<Summary, "participant" | "occasion" | "hand" | "position" | "club">): string {
  return [participant, occasion, hand, position, club].join("\n");
}

function placesOf(planned: readonly string[], found: readonly string[]): readonly string[] {
  return planned.length > 0 ? planned : [...new Set(found)];
}

/** The analysis data set and its dictionary as CSV, by file name. */
export function tidyFiles(study: Study): Map<string, string> {
  const columns = tidyDictionary.map(({ column }) => column);
  const rows = tidyRows(study).map((row) => columns.map((column) => row[column] ?? null));
  const means = tidyDictionary.map(({ column, type, unit, means: text }) => [
    column,
    type,
    unit,
    text,
  ]);
  return new Map([
    [`${study.name}-tidy.csv`, csvLines(columns, rows)],
    [`${study.name}-tidy-dictionary.csv`, csvLines(["column", "type", "unit", "means"], means)],
  ]);
}
