import type { Json } from "../package/json.js";
import type { Draft, DraftReading } from "./drafts.js";
import type { GolferNames } from "./golfer-files.js";
import { plainHeading } from "./heading-words.js";
import type { RawTable } from "./raw-table.js";
import type { TableGroup } from "./table-groups.js";

/** A resource as datapackage.json has it. */
export interface ProposedResource extends Json {
  /** Name of the resource. */
  readonly name: string;
  /** What its rows are. */
  readonly kind: string;
  /** Its file, or its files. */
  readonly path: string | readonly string[];
  /** How the rows are read. */
  readonly reading: Json;
}

/** The resources of tables that are laid out alike. */
export function resourcesOf(
  group: TableGroup,
  drafts: readonly Draft[],
  golfers: GolferNames | undefined,
): ProposedResource[] {
  const used = new Set(drafts.flatMap((draft) => [...draft.used].map(({ name }) => name)));
  const ignore = group.whole.columns.map(({ name }) => name).filter((name) => !used.has(name));
  return drafts.flatMap((draft, k) => {
    const reading = {
      ...draft.reading,
      ignore: [...new Set([...draft.reading.ignore, ...(k === 0 ? ignore : ignore)])],
    };
    const whole: DraftReading = {
      ...reading,
      leaveOut: merged(group.leaveOut, reading.leaveOut),
      fillDown: [...group.fillDown],
    };
    if (draft.kind === "participants" || !golfers?.fileName || variesByName(group))
      return group.members.map((member, i) => {
        const facts = draft.kind === "participants" ? {} : factsFor(draft, group.facts[i] ?? {});
        const code = golfers?.codes[i];
        const more = { ...facts, ...(code === undefined ? {} : { participant: code }) };
        return resource(member, draft, { ...whole, constants: { ...whole.constants, ...more } });
      });
    const [first] = group.members;
    if (!first) return [];
    const paths = group.members.map(({ path }) => path);
    const facts = factsFor(draft, group.facts[0] ?? {});
    const one = resource(first, draft, {
      ...whole,
      constants: { ...whole.constants, ...facts },
      fileName: golfers.fileName,
    });
    return [{ ...one, name: draft.kind, path: paths }];
  });
}

/** Facts of a name that a kind of rows has: a swing has no hand. */
function factsFor(
  { kind, reading }: Draft,
  facts: Readonly<Record<string, string>>,
): Record<string, string> {
  const own = kind === "grip-trials" ? ["occasion", "hand", "position"] : ["occasion", "club"];
  return Object.fromEntries(
    Object.entries(facts).filter(([name]) => own.includes(name) && !(name in reading.constants)),
  );
}

function variesByName({ facts }: TableGroup): boolean {
  return new Set(facts.map((one) => JSON.stringify(one))).size > 1;
}

function merged(
  a: Readonly<Record<string, string[]>>,
  b: Readonly<Record<string, string[]>>,
): Record<string, string[]> {
  const names = [...new Set([...Object.keys(a), ...Object.keys(b)])];
  return Object.fromEntries(
    names.map((name) => [name, [...new Set([...(a[name] ?? []), ...(b[name] ?? [])])]]),
  );
}

function resource(table: RawTable, draft: Draft, reading: DraftReading): ProposedResource {
  const { path, sheet, delimiter, headerRows } = table;
  const stem = plainHeading(`${path.replace(/\.[^.]*$/, "")} ${sheet ?? ""}`).replace(
    /[^a-z0-9]+/g,
    "-",
  );
  const dialect = {
    ...(delimiter !== undefined && delimiter !== "," ? { delimiter } : {}),
    ...(headerRows.join() === "1" ? {} : { headerRows }),
  };
  return {
    name: stem === draft.kind ? stem : `${draft.kind}-${stem}`,
    kind: draft.kind,
    path,
    ...(Object.keys(dialect).length > 0 ? { dialect } : {}),
    reading: withoutEmpty({ ...(sheet === undefined ? {} : { sheet }), ...reading }),
  };
}

function withoutEmpty(reading: DraftReading): Json {
  return Object.fromEntries(
    Object.entries(reading).filter(([, value]) => {
      if (value === undefined) return false;
      return typeof value !== "object" || Object.keys(value).length > 0;
    }),
  );
}
