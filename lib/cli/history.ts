import { itemAt } from "../entry.js";
import { nearestName } from "../options.js";
import { problemText } from "../report/recorded-outputs.js";
import { statedFindingSchema } from "../show/output-schemas.js";
import { readOutput } from "../show/schema.js";
import { type FindingPoint, findingHistory } from "../workspace/finding-history.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { printable } from "./terminal-text.js";

export const help: Help = {
  what: "Lists a finding's value at each recorded version of its notebook, from git.",
  usage: "tautline history <finding> [options]",
  options: [{ name: "--json", what: "one JSON document on the standard output" }],
  examples: [
    {
      line: "tautline history primary",
      what: "every recorded value of one finding",
    },
    {
      line: "tautline history primary --json",
      what: "the same, for a program to read",
    },
  ],
};

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, { json: "flag" });
  if (words.length !== 1) throw new UsageError("history needs the id of one finding");
  const id = itemAt(words, 0);
  const { points, known } = findingHistory(studyRoot(io.cwd), id);
  if (points.length === 0) {
    const near = nearestName(id, [...known]);
    throw new UsageError(
      `no recorded notebook states a finding ${JSON.stringify(id)}${near ? `; did you mean ${near}?` : ""}`,
    );
  }
  for (const problem of points.flatMap(problemsOf)) io.err(`${printable(problem)}\n`);
  io.out(options.json ? `${JSON.stringify({ finding: id, points }, null, 2)}\n` : listing(points));
  return exitCodes.fine;
}

/** Where a recorded finding is not what a finding is: notebook, revision, cell, field. */
function problemsOf({ notebook, commit, cell, finding }: FindingPoint): string[] {
  if (finding === null) return [];
  const read = readOutput(statedFindingSchema, finding);
  if (read.kind === "read") return [];
  const revision = commit === null ? "" : ` at ${commit.slice(0, 7)}`;
  return [`${notebook}${revision}, cell ${cell}, ${problemText("finding", read.problem)}`];
}

function sentenceOf(finding: FindingPoint["finding"]): string {
  if (finding === null) return "no longer stated";
  const read = readOutput(statedFindingSchema, finding);
  return read.kind === "read" ? read.output.sentence : "cannot be read";
}

function listing(points: readonly FindingPoint[]): string {
  const rows: string[] = [];
  for (const notebook of new Set(points.map((point) => point.notebook))) {
    rows.push(notebook);
    for (const point of points.filter((one) => one.notebook === notebook))
      rows.push(pointLine(point));
  }
  return `${rows.map(printable).join("\n")}\n`;
}

function pointLine({ commit, date, version, change, subject, finding }: FindingPoint): string {
  const when = commit === null ? "not committed     " : `${date} ${commit.slice(0, 7)}`;
  const reason = change ?? subject;
  const value = sentenceOf(finding);
  return `  ${when}  version ${version ?? "not given"}: ${value}${reason ? ` (${reason})` : ""}`;
}
