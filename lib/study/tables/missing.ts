import type { Study } from "../study.js";
import { hasColumn, matching, textColumn, type Where } from "./selection.js";

/** A participant who lacks a value, and why. */
export interface Missing {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm. */
  readonly arm: string;
  /** Clauses that name the visits: "week 6: pain-stop". */
  readonly reason: string;
}

/** Who should have a value on which visits. */
export interface Wanted {
  /** Ids of the visits on which everybody should have a value. */
  readonly occasions: readonly string[];
  /** Whether a participant has a value on a visit. */
  readonly has: (participant: string, occasion: string) => boolean;
  /** Which trials make the value, and of which hand, position or club. */
  readonly trials: "grip" | "swing";
  /** Of which hand, position or club. */
  readonly where: Where;
}

/**
 * The participants who lack a value on one of the visits, each with the reason: they left the study,
 * their trials were set aside, or none was recorded.
 */
export function missingFrom(study: Study, wanted: Wanted): Missing[] {
  const people = textColumn(study.participants, "participant");
  const arms = textColumn(study.participants, "arm");
  return people.flatMap((participant, i) => {
    const lacking = wanted.occasions.filter((occasion) => !wanted.has(participant, occasion));
    if (lacking.length === 0) return [];
    const reason = reasonFor(study, participant, i, lacking, wanted);
    return [{ participant, arm: arms[i] ?? "", reason }];
  });
}

function reasonFor(
  study: Study,
  participant: string,
  row: number,
  lacking: readonly string[],
  wanted: Wanted,
): string {
  const cell = (name: string) =>
    hasColumn(study.participants, name) ? study.participants.get(name, row) : null;
  const left = cell("withdrew_on");
  const reasons = lacking.map((occasion) => {
    const trials = lostTrials(study, participant, occasion, wanted);
    const title = study.design.occasions.find(({ id }) => id === occasion)?.title ?? occasion;
    if (trials.length > 0) return `${title}: ${[...new Set(trials)].join(", ")}`;
    return left ? "" : `${title}: no trial recorded`;
  });
  const why = cell("withdrew_reason");
  if (left) reasons.unshift(`left the study on ${left}${why ? ` (${why})` : ""}`);
  return reasons.filter((reason) => reason !== "").join("; ");
}

function lostTrials(
  study: Study,
  participant: string,
  occasion: string,
  { trials, where }: Wanted,
): string[] {
  const table = trials === "swing" ? study.allSwingTrials : study.allGripTrials;
  const known = Object.fromEntries(
    Object.entries(where).filter(([name]) => hasColumn(table, name)),
  );
  const lost = matching(table, { ...known, participant, occasion }, "missingFrom");
  return textColumn(lost, "left_out").filter((reason) => reason !== "");
}
