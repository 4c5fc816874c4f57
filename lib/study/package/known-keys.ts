import { editDistance } from "../../options.js";
import { isRecord, type Json, recordsIn } from "./json.js";
import type { PackageFault } from "./package-fault.js";
import { kindOf } from "./resource.js";

const designKeys = [
  "arms",
  "occasions",
  "hands",
  "positions",
  "clubs",
  "gripTrials",
  "swings",
  "restSeconds",
  "allocation",
];

/** The keys that are read, by the place they belong to. */
const known = {
  study: [
    "title",
    "question",
    "simulated",
    "design",
    ...designKeys,
    "plan",
    "cautions",
    "changes",
    "statements",
  ],
  design: designKeys,
  arm: ["id", "title", "control"],
  occasion: ["id", "week", "title"],
  position: ["id", "title", "how"],
  plan: ["decidedOn", "primary", "summaries", "level", "seed", "smallestWorthwhile", "calibration"],
  primary: ["outcome", "hand", "position", "club", "before", "after", "contrast", "unit"],
  summaries: ["grip", "speed"],
  resource: ["name", "kind", "path", "reading", "dialect", "schema", "encoding", "format"],
  reading: [
    "columns",
    "values",
    "constants",
    "format",
    "units",
    "cellUnits",
    "sheet",
    "fileName",
    "wide",
    "ignore",
    "only",
    "leaveOut",
    "fillDown",
    "numberRows",
    "onePerGolfer",
  ],
  wide: ["columns", "valueColumn"],
} as const satisfies Record<string, readonly string[]>;

/** Places where a key of one's own has no meaning; elsewhere only a misspelt key is named. */
const closed = new Set<keyof typeof known>(["study", "design", "reading", "wide", "summaries"]);

/** How many letters of a key may differ for it to be a misspelling. */
const nearby = 2;

/** Keys of the study and of its files that nothing reads: misspelt, or with no meaning here. */
export function unknownKeys(descriptor: Json): PackageFault[] {
  const study = isRecord(descriptor.study) ? descriptor.study : {};
  const design = isRecord(study.design) ? study.design : {};
  const plan = isRecord(study.plan) ? study.plan : {};
  const places: [Json, keyof typeof known, string][] = [
    [study, "study", "study"],
    [design, "design", "study.design"],
    [plan, "plan", "study.plan"],
    [isRecord(plan.primary) ? plan.primary : {}, "primary", "study.plan.primary"],
    [isRecord(plan.summaries) ? plan.summaries : {}, "summaries", "study.plan.summaries"],
    ...listed(study, design),
    ...recordsIn(descriptor.resources).flatMap(resourcePlaces),
  ];
  return places.flatMap(([record, keys, where]) => strangers(record, keys, where));
}

function listed(study: Json, design: Json): [Json, keyof typeof known, string][] {
  const kinds = { arms: "arm", occasions: "occasion", positions: "position" } as const;
  return (["arms", "occasions", "positions"] as const).flatMap((part) =>
    recordsIn(design[part] ?? study[part]).map((record, i): [Json, keyof typeof known, string] => [
      record,
      kinds[part],
      `study.${part}[${i}]`,
    ]),
  );
}

function resourcePlaces(resource: Json, i: number): [Json, keyof typeof known, string][] {
  if (!kindOf(resource)) return [];
  const reading = isRecord(resource.reading) ? resource.reading : {};
  const where = `resources[${i}]`;
  return [
    [resource, "resource", where],
    [reading, "reading", `${where}.reading`],
    [isRecord(reading.wide) ? reading.wide : {}, "wide", `${where}.reading.wide`],
  ];
}

function strangers(record: Json, place: keyof typeof known, where: string): PackageFault[] {
  const keys: readonly string[] = known[place];
  return Object.keys(record)
    .filter((key) => !keys.includes(key))
    .flatMap((value): PackageFault[] => {
      const near = misspelt(value, keys, record);
      if (near !== undefined) return [{ code: "key-unknown", where, value, expected: near }];
      if (!closed.has(place)) return [];
      return [{ code: "key-unread", where, value, expected: keys.join(", ") }];
    });
}

/** The key that a misspelt one stands for; one that the record has beside it is not meant. */
function misspelt(word: string, keys: readonly string[], record: Json): string | undefined {
  const letters = word.toLowerCase();
  return keys
    .filter((key) => !Object.hasOwn(record, key))
    .map((key) => ({ key, steps: editDistance(letters, key.toLowerCase()) }))
    .filter(({ key, steps }) => steps <= Math.min(nearby, Math.floor(key.length / 2)))
    .sort((a, b) => a.steps - b.steps)[0]?.key;
}

/** Resources of no kind that a study is read from: their files are not read. */
export function unreadResources(descriptor: Json, kinds: readonly string[]): PackageFault[] {
  return recordsIn(descriptor.resources).flatMap((resource, i): PackageFault[] => {
    if (kindOf(resource)) return [];
    const name = String(resource.name ?? "without a name");
    return [
      {
        code: "resource-unread",
        where: `resources[${i}]`,
        value: name,
        expected: kinds.join(", "),
      },
    ];
  });
}
