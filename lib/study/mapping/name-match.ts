import { editDistance } from "../../options.js";
import { plainHeading } from "./heading-words.js";

/** Something of the design, by every word it is known under. */
export interface Known {
  /** Id in the design. */
  readonly id: string;
  /** Its id, title and synonyms in plain letters. */
  readonly names: readonly string[];
}

const positionWords: readonly (readonly string[])[] = [
  [
    "seated",
    "sitting",
    "sit",
    "sitzend",
    "sitzen",
    "im sitzen",
    "assis",
    "assise",
    "sentado",
    "sentada",
    "seduto",
    "seduta",
    "sittande",
    "zittend",
  ],
  [
    "standing",
    "stand",
    "stehend",
    "stehen",
    "im stehen",
    "debout",
    "de pie",
    "in piedi",
    "em pe",
    "staende",
    "staand",
    "upright",
  ],
  [
    "address",
    "at address",
    "setup",
    "set up",
    "ansprechposition",
    "ansprechen",
    "ansprech",
    "adresse",
    "a l adresse",
    "posicion inicial",
    "direccion",
  ],
  [
    "top",
    "top of backswing",
    "backswing",
    "top of swing",
    "umkehrpunkt",
    "sommet",
    "haut du backswing",
  ],
];

const clubWords: readonly (readonly string[])[] = [
  ["driver", "drv", "drive", "1 w", "w 1", "1 wood", "holz 1", "bois 1", "madera 1"],
  ...[3, 4, 5, 6, 7, 8, 9].map((n) => [
    `${n} iron`,
    `iron ${n}`,
    `${n} i`,
    `i ${n}`,
    `eisen ${n}`,
    `${n} er eisen`,
    `fer ${n}`,
    `hierro ${n}`,
  ]),
  ...[3, 5].map((n) => [
    `${n} wood`,
    `wood ${n}`,
    `${n} w`,
    `holz ${n}`,
    `bois ${n}`,
    `madera ${n}`,
  ]),
];

const armWords: readonly (readonly string[])[] = [
  [
    "control",
    "ctrl",
    "con",
    "controls",
    "kontrolle",
    "kontrollgruppe",
    "kg",
    "temoin",
    "controle",
    "groupe controle",
    "grupo control",
  ],
];

function knownBy(
  entries: readonly { readonly id: string; readonly title?: string }[],
  synonyms: readonly (readonly string[])[],
): Known[] {
  return entries.map(({ id, title = id }) => {
    const own = [plainHeading(id), plainHeading(title)];
    const more = synonyms.filter((list) => list.some((word) => own.includes(word))).flat();
    return { id, names: [...new Set([...own, ...more])] };
  });
}

/** The positions of a design under all their names. */
export const knownPositions = (list: readonly { id: string; title?: string }[]): Known[] =>
  knownBy(list, positionWords);
/** The clubs of a design under all their names. */
export const knownClubs = (ids: readonly string[]): Known[] =>
  knownBy(
    ids.map((id) => ({ id })),
    clubWords,
  );
/** The arms of a design under all their names; the control arm also by words for one. */
export function knownArms(
  list: readonly { readonly id: string; readonly title?: string; readonly control?: boolean }[],
): Known[] {
  return knownBy(list, armWords).map((arm, i) =>
    list[i]?.control ? { ...arm, names: [...new Set([...arm.names, ...armWords.flat()])] } : arm,
  );
}

/**
 * Which entry each code means, if every code means one and no two codes of different spelling mean
 * the same. A last code left over is the last entry left over only where it is one of two.
 */
export function matched(
  codes: readonly string[],
  known: readonly Known[],
): Readonly<Record<string, string>> | undefined {
  const found = codes.map((code) => one(plainHeading(code), known));
  if (found.some((id) => id === undefined)) return undefined;
  const byId = new Map<string, string>();
  for (const [i, id] of found.entries()) {
    const plain = plainHeading(codes[i] ?? "");
    const other = byId.get(id ?? "");
    if (other !== undefined && other !== plain) return undefined;
    byId.set(id ?? "", plain);
  }
  return Object.fromEntries(codes.map((code, i) => [code, found[i] ?? ""]));
}

function one(plain: string, known: readonly Known[]): string | undefined {
  const same = known.filter(({ names }) => names.includes(plain));
  if (same.length === 1) return same[0]?.id;
  if (plain.length < 4) return undefined;
  const begins = known.filter(({ names }) =>
    names.some(
      (name) => name.length > 3 && (name.startsWith(plain) || plain.startsWith(`${name} `)),
    ),
  );
  if (begins.length === 1) return begins[0]?.id;
  const near = known.filter(({ names }) =>
    names.some((name) => name.length > 4 && editDistance(name, plain) <= 1),
  );
  return near.length === 1 ? near[0]?.id : undefined;
}

/** The entry that stands among other words, and those other words. */
export function namedIn(
  words: string,
  known: readonly Known[],
): { id: string; rest: string } | undefined {
  const padded = ` ${words} `;
  const hits = known
    .flatMap(({ id, names }) => names.map((name) => ({ id, name })))
    .filter(({ name }) => name.length > 1 && padded.includes(` ${name} `))
    .sort((a, b) => b.name.length - a.name.length);
  const [first] = hits;
  if (!first) return undefined;
  return { id: first.id, rest: padded.replace(` ${first.name} `, " ").trim() };
}
