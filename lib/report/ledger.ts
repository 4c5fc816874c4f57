import type { Finding, RecordedFinding } from "../show/finding-record.js";
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

/** The finding that answers a question: the planned one, else the first with an interval. */
export function keyFinding(stated: readonly Stated[]): Stated | undefined {
  const named = ({ finding }: Stated) => /^primary(?:-|$)/.test(finding.id);
  const bounded = ({ finding }: Stated) => hasLimits(finding);
  return (
    stated.find(({ finding }) => finding.planned === true) ??
    stated.find(named) ??
    stated.find(bounded) ??
    stated[0]
  );
}

/** The finding that answers the study: the key finding of the notebook that has a planned one. */
export function studyKeyFinding(notebooks: readonly RecordedNotebook[]): Stated | undefined {
  const keys = notebooks.flatMap((notebook) => keyFinding(statedIn(notebook)) ?? []);
  return (
    keys.find(({ finding }) => finding.planned === true) ??
    keys.find(({ finding }) => /^primary(?:-|$)/.test(finding.id)) ??
    keys.find(({ finding }) => hasLimits(finding)) ??
    keys[0]
  );
}

function hasLimits({ low }: Finding): boolean {
  return low !== undefined;
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
