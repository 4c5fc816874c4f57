import { plainHeading } from "./heading-words.js";

/** Their value → ours, for the values that are understood. */
export type ValueMap = Readonly<Record<string, string>>;

type Words = Readonly<Record<string, readonly string[]>>;

/** Words and letters for a hand; a system is taken as a whole, because D is right in one and left in none. */
const handSystems: readonly Words[] = [
  {
    left: ["l", "left", "left hand", "lh", "lft"],
    right: ["r", "right", "right hand", "rh", "rgt"],
    lead: ["lead", "lead hand", "leading", "front", "target"],
    trail: ["trail", "trail hand", "trailing", "rear", "back"],
  },
  {
    left: ["l", "li", "links", "linke", "linke hand", "lk"],
    right: ["r", "re", "rechts", "rechte", "rechte hand"],
    lead: ["lead", "fuehrungshand", "fuhrungshand", "vordere", "vordere hand", "vorn"],
    trail: ["trail", "hintere", "hintere hand", "hinten"],
  },
  {
    left: ["g", "gauche", "main gauche", "gau"],
    right: ["d", "droite", "droit", "main droite", "dr"],
    lead: ["avant", "main avant", "main directrice", "lead"],
    trail: ["arriere", "main arriere", "trail"],
  },
  {
    left: ["i", "izq", "izquierda", "izquierdo", "mano izquierda", "iz"],
    right: ["d", "der", "derecha", "derecho", "mano derecha", "de"],
    lead: ["delantera", "mano delantera", "guia", "lead"],
    trail: ["trasera", "mano trasera", "trail"],
  },
  {
    left: ["s", "sx", "sin", "sinistra", "sinistro", "mano sinistra"],
    right: ["d", "dx", "destra", "destro", "mano destra"],
  },
  {
    left: ["e", "esq", "esquerda", "esquerdo", "mao esquerda"],
    right: ["d", "dir", "direita", "direito", "mao direita"],
  },
  {
    left: ["v", "vanster", "vanstra", "vanster hand"],
    right: ["h", "hoger", "hogra", "hoger hand"],
  },
  {
    left: ["l", "links", "linker", "linkerhand"],
    right: ["r", "rechts", "rechter", "rechterhand"],
  },
];

const sexSystems: readonly Words[] = [
  { female: ["f", "female", "woman", "women"], male: ["m", "male", "man", "men"] },
  { female: ["w", "weiblich", "frau"], male: ["m", "maennlich", "mannlich", "mann"] },
  { female: ["f", "femme", "feminin"], male: ["h", "homme", "masculin"] },
  { female: ["mujer", "femenino", "f"], male: ["hombre", "masculino", "varon", "h", "v"] },
  { female: ["f", "femmina", "donna"], male: ["m", "maschio", "uomo"] },
  { female: ["f", "feminino", "mulher"], male: ["m", "masculino", "homem"] },
  { female: ["k", "kvinna"], male: ["m", "man"] },
  { female: ["v", "vrouw"], male: ["m", "man"] },
];

const yesNo: readonly Words[] = [
  {
    yes: ["y", "yes", "ja", "j", "oui", "o", "si", "true", "x"],
    no: ["n", "no", "nein", "non", "false"],
  },
];

const statusWords: readonly Words[] = [
  {
    valid: [
      "valid",
      "ok",
      "gueltig",
      "gultig",
      "valide",
      "valido",
      "good",
      "yes",
      "ja",
      "oui",
      "si",
    ],
    "pain-stop": ["pain", "pain stop", "schmerz", "schmerzabbruch", "douleur", "dolor"],
    refused: ["refused", "verweigert", "abgelehnt", "refus", "rechazado"],
    device: [
      "device",
      "device fault",
      "device error",
      "geraetefehler",
      "error",
      "fehler",
      "erreur",
      "panne",
      "fallo",
    ],
  },
];

const systems = {
  hand: handSystems,
  sex: sexSystems,
  yesNo,
  status: statusWords,
} as const;

/**
 * The meaning of a column's codes, when one language explains every one of them and no other
 * explains them otherwise.
 */
export function meaningOf(
  codes: readonly string[],
  of: keyof typeof systems,
): ValueMap | undefined {
  const found = systems[of].flatMap((system) => {
    const map = readBy(system, codes);
    return map ? [map] : [];
  });
  const [first] = found;
  if (!first) return undefined;
  const agree = found.every((map) => codes.every((code) => map[code] === first[code]));
  return agree ? first : undefined;
}

function readBy(system: Words, codes: readonly string[]): ValueMap | undefined {
  const pairs = codes.map((code): [string, string] | undefined => {
    const plain = plainHeading(code);
    const ours = Object.keys(system).find((key) => system[key]?.includes(plain));
    return ours === undefined ? undefined : [code, ours];
  });
  if (pairs.some((pair) => pair === undefined)) return undefined;
  return Object.fromEntries(pairs.filter((pair) => pair !== undefined));
}

/** The hand that a few words name, if every language that knows a word agrees. */
export function handIn(words: string): { hand: string; rest: string } | undefined {
  const padded = ` ${words} `;
  for (const system of handSystems)
    for (const hand of ["lead", "trail", "left", "right"])
      for (const word of [...(system[hand] ?? [])].sort((a, b) => b.length - a.length)) {
        if (word.length < 2 || !padded.includes(` ${word} `)) continue;
        if (!unambiguous.has(word)) continue;
        return { hand, rest: padded.replace(` ${word} `, " ").trim() };
      }
  return undefined;
}

/** Words of one hand that are no word of anything else in a heading. */
const unambiguous = new Set(
  handSystems.flatMap((system) =>
    Object.values(system).flatMap((list) =>
      list.filter(
        (word) =>
          word.length > 1 && !["de", "dr", "dir", "sin", "back", "front", "target"].includes(word),
      ),
    ),
  ),
);

/** A single letter for a hand within a heading, by the letters that all headings use together. */
export function letterSystem(letters: ReadonlySet<string>): Readonly<Record<string, string>> {
  if (letters.has("l") && letters.has("r")) return { l: "left", r: "right" };
  if (letters.has("g") && letters.has("d")) return { g: "left", d: "right" };
  if (letters.has("i") && letters.has("d")) return { i: "left", d: "right" };
  return {};
}

/** Words that name a line below the data. */
export const summaryRow =
  /^(?:mean|average|avg|mittelwert|mw|moyenne|media|promedio|sd|s\.?d\.?|std\.?(?: ?dev\.?)?|stdev|standardabweichung|[eé]cart[- ]type|desviaci[oó]n.*|max(?:imum)?|min(?:imum)?|sum|summ[ea]|somm[ea]|suma|soma|totals?|grand total|totale|totaal|gesamt|medel(?:v[äa]rde)?|gemiddelde|m[eé]dia|standardavvikelse|n|count|anzahl|median|mediana|cv|exported?\b.*|exportiert\b.*|export[eé]\b.*|exportado\b.*|generated\b.*|erstellt\b.*|end of\b.*|ende\b.*|fin\b.*|printed\b.*|legend.*|note[:s].*|\*.*|©.*|-{2,}.*|={2,}.*)$/i;
