import type { RecordedFinding, UnansweredFinding } from "../show/finding-record.js";
import type { Conclusion } from "./conclusions.js";
import type { Stated } from "./finding-html.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

/** Every finding of a notebook with its place. */
export function statedIn(notebook: RecordedNotebook): Stated[] {
  return shownOf(notebook, "finding").map(({ cell, shown }) => ({
    notebook,
    cell,
    finding: shown.finding,
  }));
}

/** Every finding that a notebook records, with and without an answer, in its order. */
export function recordedFindings(notebook: RecordedNotebook): RecordedFinding[] {
  return notebook.cells.flatMap(({ shown }) =>
    shown.flatMap((one) =>
      one.kind === "finding" || one.kind === "unanswered" ? [one.finding] : [],
    ),
  );
}

const isNamedPrimary = ({ finding }: Stated) => /^primary(?:-|$)/.test(finding.id);

/** The finding that answers a notebook's question: the one named primary, else the first stated. */
export function keyFinding(stated: readonly Stated[]): Stated | undefined {
  return stated.find(isNamedPrimary) ?? stated[0];
}

/** Why the data do not answer the primary comparison, where they do not. */
export function unansweredPrimary(
  notebooks: readonly RecordedNotebook[],
): UnansweredFinding | undefined {
  const unanswered = notebooks.flatMap((notebook) => shownOf(notebook, "unanswered"));
  return unanswered.find(({ shown }) => /^primary(?:-|$)/.test(shown.finding.id))?.shown.finding;
}

/**
 * The finding that answers the study: the planned one, else the one named primary. The first of the
 * others stands in where no primary comparison is recorded, not where the data do not answer it.
 */
export function studyKeyFinding(notebooks: readonly RecordedNotebook[]): Stated | undefined {
  const all = notebooks.flatMap((notebook) => statedIn(notebook));
  return (
    all.find((stated) => stated.finding.planned === true && isNamedPrimary(stated)) ??
    all.find(({ finding }) => finding.planned === true) ??
    all.find(isNamedPrimary) ??
    (unansweredPrimary(notebooks)
      ? undefined
      : (all.find(({ finding }) => finding.low !== undefined) ?? all[0]))
  );
}

/** The first question of a notebook without an answer, where none of its questions has one. */
export function onlyUnanswered(notebook: RecordedNotebook): UnansweredFinding | undefined {
  if (statedIn(notebook).length > 0) return undefined;
  return shownOf(notebook, "unanswered")[0]?.shown.finding;
}

/** The conclusions of a notebook, in their order. */
export function conclusionsIn(notebook: RecordedNotebook): Conclusion[] {
  const findings = shownOf(notebook, "finding").map(({ shown }) => shown.finding);
  return shownOf(notebook, "claim").map(({ shown: { claim } }) => ({
    notebook,
    claim,
    finding: findings.find(({ id }) => id === claim.finding),
  }));
}
