import { InputError } from "../../errors.js";
import { alikeCode } from "../check/alike-codes.js";
import type { StudyFiles } from "../files.js";
import { descriptorName } from "../files.js";
import { readStudy } from "../open.js";
import { isRecord, type Json, recordsIn } from "../package/json.js";
import { readPackage } from "../package/package.js";
import { readDescriptor } from "../package/read-descriptor.js";
import { pathsOf } from "../package/resource.js";
import type { Inspection } from "../study.js";
import { Decisions, type Question } from "./decisions.js";
import { type Draft, labelOf, type Making, translate } from "./drafts.js";
import { golferNames } from "./golfer-files.js";
import { participantsDraft } from "./participants-draft.js";
import { type ProposedResource, resourcesOf } from "./proposed-resources.js";
import { type RawTable, tablesOf } from "./raw-table.js";
import { groupsOf, sheetOrFileIsGolfer, type TableGroup } from "./table-groups.js";
import { trialDrafts } from "./trial-drafts.js";

/** How the files of a folder would be read. */
export interface Proposal {
  /** Name of this record. */
  readonly kind: "proposal";
  /** The resources that are proposed, as datapackage.json would have them. */
  readonly resources: readonly ProposedResource[];
  /** What only a person can decide. */
  readonly questions: readonly Question[];
  /** Files in which nothing was recognised. */
  readonly unrecognised: readonly string[];
  /** datapackage.json with the proposed resources. */
  readonly descriptor: Json;
  /** What the check finds when the files are read so. */
  readonly check: Inspection;
}

/**
 * Proposes how a lab's own files are read: which file is what, which column is which, in which unit,
 * and which code means what. It decides only what headings, values and names decide; the rest are
 * questions. Nothing is written, and nothing is read by it that the proposal does not show.
 * @param files datapackage.json and every file of the folder
 * @param answers to questions of an earlier proposal, by their key
 * @throws InputError when there is no datapackage.json that can be read
 */
export function proposeMapping(
  files: StudyFiles,
  answers: ReadonlyMap<string, string> = new Map(),
): Proposal {
  const descriptor = descriptorOf(files);
  const { package: described, faults } = readPackage(descriptor);
  if (!described) {
    const [fault] = faults;
    const { expected = "a study", value: got = "none", where = descriptorName } = fault ?? {};
    throw new InputError({ expected, got, where: `${descriptorName}, ${where}` });
  }
  const { design } = described.study;
  const decisions = new Decisions(answers);
  const kept = soundResources(files, descriptor);
  const named = new Set(kept.flatMap(pathsOf));
  const exports = [...files.files].filter(([path]) => !named.has(path) && path !== descriptorName);
  const tables = exports.flatMap(([path, bytes]) => tablesOf(path, bytes));
  const groups = groupsOf(tables, { design, decisions });
  const known = participantsIn(files, { ...descriptor, resources: kept });
  const makings = groups.map((group) => ({
    group,
    making: makingOf(group, { design, decisions }),
  }));
  const people = known.length > 0 ? null : peopleOf(makings);
  const codes = known.length > 0 ? known : people ? codesIn(people) : [];
  const resources: ProposedResource[] = [];
  for (const { group, making } of makings) {
    const drafts = [...(people?.group === group ? people.drafts : []), ...trialDrafts(making)];
    const golfers = sheetOrFileIsGolfer(group) ? golferNames(group.members, codes) : undefined;
    askGolfer(group, drafts, golfers !== undefined, decisions);
    for (const draft of drafts) joinAlike(draft, making, { codes, decisions });
    resources.push(...resourcesOf(group, drafts, golfers));
  }
  const proposed = withNames(resources, kept);
  const found = new Set(proposed.flatMap(pathsOf));
  const whole = { ...descriptor, resources: [...kept, ...proposed] };
  const bytes = new TextEncoder().encode(JSON.stringify(whole));
  const check = readStudy({ ...files, files: new Map([...files.files, [descriptorName, bytes]]) });
  return {
    kind: "proposal",
    resources: proposed,
    questions: decisions.questions,
    unrecognised: exports.map(([path]) => path).filter((path) => !found.has(path)),
    descriptor: whole,
    check,
  };
}

function descriptorOf({ files }: StudyFiles): Json {
  const bytes = files.get(descriptorName);
  const descriptor = bytes && readDescriptor(bytes);
  if (isRecord(descriptor)) return descriptor;
  const expected = `a study with ${descriptorName}; make one with tautline new`;
  throw new InputError({ expected, got: "none", where: "proposeMapping" });
}

/** The resources whose files are there and have the columns they need; the others are proposed anew. */
function soundResources(files: StudyFiles, descriptor: Json): Json[] {
  const { issues } = readStudy(files);
  const unsound = new Set(
    issues
      .filter(({ code }) =>
        [
          "column-missing",
          "header-missing",
          "header-repeated",
          "mapping-wrong",
          "file-missing",
        ].includes(code),
      )
      .map(({ file }) => file.replace(/, sheet .*$/, "")),
  );
  return recordsIn(descriptor.resources).filter(
    (resource) => !pathsOf(resource).some((path) => unsound.has(path)),
  );
}

/** The golfers that files which are read already have. */
function participantsIn(files: StudyFiles, descriptor: Json): string[] {
  const bytes = new TextEncoder().encode(JSON.stringify(descriptor));
  const { study } = readStudy({
    ...files,
    files: new Map([...files.files, [descriptorName, bytes]]),
  });
  return study ? (study.participants.array("participant") as string[]) : [];
}

function makingOf(
  { whole, roles, facts, members }: TableGroup,
  { design, decisions }: Pick<Making, "design" | "decisions">,
): Making {
  const stated = ["occasion", "hand", "position", "club"].filter(
    (fact) => members.length > 0 && facts.every((one) => fact in one),
  );
  return { table: whole, roles, design, decisions, named: new Set(stated) };
}

interface Placed {
  readonly group: TableGroup;
  readonly making: Making;
}

const personConcepts = {
  arm: 3,
  plays: 3,
  sex: 2,
  age: 2,
  mass: 1,
  height: 1,
  handicap: 1,
  writes: 1,
} as const;

/** The table that says most of the golfers; a table of trials only where no other says it. */
function peopleOf(makings: readonly Placed[]): { group: TableGroup; drafts: Draft[] } | null {
  const scored = makings
    .filter(({ making }) => making.roles.of.has("participant"))
    .map((placed) => ({ ...placed, score: personScore(placed.making) }))
    .sort((a, b) => b.score - a.score);
  const [best] = scored;
  if (!best) return null;
  const draft = participantsDraft(best.making);
  return draft ? { group: best.group, drafts: [draft] } : null;
}

function personScore({ roles, table }: Making): number {
  const facts = Object.entries(personConcepts)
    .filter(([concept]) => roles.of.has(concept as keyof typeof personConcepts))
    .reduce((sum, [, weight]) => sum + weight, 0);
  const golfers = roles.of.get("participant")?.values.length ?? 0;
  return facts + (golfers === table.rowCount ? 0.5 : 0);
}

function codesIn({ drafts }: { drafts: readonly Draft[] }): string[] {
  return drafts.flatMap(({ table, reading }) => {
    const column = table.columns.find(
      ({ name }) => name === "participant" || reading.columns[name] === "participant",
    );
    return column ? [...column.values] : [];
  });
}

/** A table of trials that nowhere says whose they are. */
function askGolfer(
  group: TableGroup,
  drafts: readonly Draft[],
  named: boolean,
  decisions: Decisions,
): void {
  if (named || group.roles.of.has("participant") || drafts.length === 0) return;
  const label = labelOf(group.whole as RawTable);
  decisions.choose({
    key: `${label}: golfer`,
    text: `Whose trials are in ${label}? No column and no part of its name gives the golfer. Add a column with the code.`,
    choices: [],
  });
}

/** One golfer in two spellings: the line that joins them is proposed only after it was asked. */
function joinAlike(
  draft: Draft,
  { roles }: Making,
  { codes, decisions }: { codes: readonly string[]; decisions: Decisions },
): void {
  const column = roles.of.get("participant");
  if (!column || draft.kind === "participants") return;
  for (const code of column.values) {
    if (codes.includes(code)) continue;
    const same = codes.find((one) => one.normalize() === code.normalize());
    if (same !== undefined) {
      // The same letters, as two systems store them: nothing to ask.
      translate(draft, "participant", { [code]: same });
      continue;
    }
    const near = alikeCode(code, codes);
    if (near === undefined) continue;
    const answer = decisions.choose({
      key: `${labelOf(draft.table)}: golfer ${code}`,
      text: `Is "${code}" in ${labelOf(draft.table)} the golfer ${near}?`,
      choices: [near, "another golfer"],
    });
    if (answer === near) translate(draft, "participant", { [code]: near });
  }
}

/** Each resource needs a name of its own. */
function withNames(
  resources: readonly ProposedResource[],
  kept: readonly Json[],
): ProposedResource[] {
  const taken = new Set(kept.map(({ name }) => String(name)));
  return resources.map((resource) => {
    let name = resource.name;
    for (let i = 2; taken.has(name); i++) name = `${resource.name}-${i}`;
    taken.add(name);
    return { ...resource, name };
  });
}
