import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { hasColumn } from "../tables/selection.js";
import { messageOf } from "./issue-messages.js";

/** Groups of fewer people than this can be recognised by those who know them. Common practice. */
const smallest = 5;

/** A group of people who share what others may know of them, and are few. */
export interface SmallCell {
  /** What they share, such as {sex: "female", age: "70 to 79"}. */
  readonly shares: Readonly<Record<string, string>>;
  /** Number of people in the group. */
  readonly people: number;
}

/** The small groups of a study, with a warning for the person who shares it. */
export interface SmallCells {
  /** Name of this record. */
  readonly kind: "smallCells";
  /** A group of fewer people than this is small. */
  readonly fewerThan: number;
  /** The small groups. */
  readonly cells: readonly SmallCell[];
  /** One sentence for each small group. */
  readonly warnings: readonly string[];
}

/** What others may know of a person, by column; ages in tens. */
const known: readonly (readonly string[])[] = [
  ["sex", "age"],
  ["sex", "plays"],
  ["sex", "arm"],
  ["plays", "writes_with"],
];

/**
 * Finds groups of fewer than five people that share sex and age (in tens of years), sex and playing
 * side, sex and arm, or playing and writing hand: people whom a reader might recognise in a study
 * that is shared.
 * @param study from `openStudy`
 * @returns the groups, smallest first, each with a warning in words
 * @example smallCells(openStudy("coach-nine")).fewerThan // 5
 */
export function smallCells(study: Study): SmallCells {
  const people = study.participants.objects() as Record<string, unknown>[];
  const cells = known
    .map((names) => names.filter((name) => hasColumn(study.participants, columnFor(name))))
    .filter((names) => names.length === 2)
    .flatMap((names) => cellsOf(people, names))
    .filter((cell) => cell.people < smallest)
    .sort((a, b) => a.people - b.people);
  return frozen({ kind: "smallCells", fewerThan: smallest, cells, warnings: cells.map(warning) });
}

function columnFor(name: string): string {
  return name === "age" ? "age_years" : name;
}

function cellsOf(
  people: readonly Record<string, unknown>[],
  names: readonly string[],
): SmallCell[] {
  const counts = new Map<string, SmallCell>();
  for (const person of people) {
    const shares = Object.fromEntries(names.map((name) => [name, shared(person, name)]));
    if (Object.values(shares).includes("")) continue;
    const key = JSON.stringify(shares);
    counts.set(key, { shares, people: (counts.get(key)?.people ?? 0) + 1 });
  }
  return [...counts.values()];
}

function shared(person: Record<string, unknown>, name: string): string {
  const value = person[columnFor(name)];
  if (name !== "age") return value === null || value === undefined ? "" : String(value);
  if (typeof value !== "number" || Number.isNaN(value)) return "";
  const decade = 10 * Math.floor(value / 10);
  return `${decade} to ${decade + 9}`;
}

function warning({ shares, people }: SmallCell): string {
  const what = Object.entries(shares)
    .map(([name, value]) => `${name.replace("_", " ")} ${value}`)
    .join(", ");
  const value = `${people === 1 ? "One person" : `${people} people`} with ${what}`;
  const expected =
    "Think of wider groups, or of leaving the column out, before the study is shared.";
  return messageOf("cells-small", { value, expected, column: "", count: people, paste: "" });
}
