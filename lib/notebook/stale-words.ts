import { itemAt } from "../entry.js";
import { upperFirst } from "../first-letter.js";
import type { StaleOutput, StaleReason } from "./cell-ledger.js";

/** How a reader finds a cell: its number in the notebook, or the count beside it in brackets. */
export type NameOfCell = (id: string) => string;

const mostNamed = 5;

/** Why an output is stale and what to run: "Computed before cell 3 changed; run cell 5 again." */
export function staleSentence(output: StaleOutput, nameOf: NameOfCell): string {
  const why = output.reasons.slice(0, 2).map((reason) => clause(reason, output.cell, nameOf));
  const lasts = output.reasons.every(({ kind }) => kind === "gone" || kind === "deleted");
  const advice = lasts
    ? "a run from top to bottom would fail here"
    : `run ${cellsNamed(output.runAgain, nameOf)} again`;
  const text = `${why.join(", and ")}; ${advice}.`;
  return upperFirst(text);
}

function clause({ kind, cell, names }: StaleReason, of: string, nameOf: NameOfCell): string {
  const other = `cell ${nameOf(cell)}`;
  const uses = names.filter((name) => name !== "").join(", ") || "names";
  switch (kind) {
    case "data":
      return `computed before ${filesNamed(names)} changed`;
    case "changed":
    case "ran again":
      return `computed before ${other} ${kind}`;
    case "edited":
      return `computed before ${other} was edited`;
    case "deleted":
      return `uses ${other}, which was deleted`;
    case "below":
      return cell === of
        ? `uses ${uses} as an earlier run of this cell left it`
        : `uses ${uses} as ${other} below left it`;
    case "gone":
      return `uses ${uses}, which ${other} no longer declares`;
  }
}

function filesNamed(paths: readonly string[]): string {
  const [first = "data", second] = paths;
  if (second === undefined) return first;
  return paths.length === 2
    ? `${first} and ${second}`
    : `${first} and ${paths.length - 1} other files`;
}

/** "cell 4", "cells 4 and 5", "cells 4, 5, 6, 7, 8 and 3 more". */
export function cellsNamed(ids: readonly string[], nameOf: NameOfCell): string {
  const names = ids.slice(0, mostNamed).map(nameOf);
  if (ids.length > mostNamed) names.push(`${ids.length - mostNamed} more`);
  if (names.length === 1) return `cell ${itemAt(names, 0)}`;
  return `cells ${names.slice(0, -1).join(", ")} and ${itemAt(names, names.length - 1)}`;
}
