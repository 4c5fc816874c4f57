import { conceptOf, headingParts } from "./heading-words.js";
import { type Known, namedIn } from "./name-match.js";
import { handIn } from "./value-words.js";
import { isVisitWord } from "./visit-words.js";

/** What the heading of a column with trials says of them. */
export interface HeadingFacts {
  /** left, right, lead or trail. */
  readonly hand?: string;
  /** Id of a position of the design. */
  readonly position?: string;
  /** Id of a club of the design. */
  readonly club?: string;
  /** A word for a visit, as the heading has it in plain letters. */
  readonly visit?: string;
  /** Number of the trial. */
  readonly trial?: string;
  /** What is measured, where the heading or its unit says it. */
  readonly quantity?: "force" | "speed";
  /** Unit as the heading has it; "" where there is none. */
  readonly unit: string;
  /** Whether it is a mean, a maximum or the like. */
  readonly summary: boolean;
  /** Words that were not understood. */
  readonly rest: string;
}

/** What headings may speak of. */
export interface HeadingContext {
  /** Positions of the design. */
  readonly positions: readonly Known[];
  /** Clubs of the design. */
  readonly clubs: readonly Known[];
  /** Single letters that mean a hand in this file. */
  readonly letters: Readonly<Record<string, string>>;
}

const summaryWords =
  /(?:^| )(?:mean|average|avg|mittelwert|mw|moyenne|media|promedio|sd|stdev|max|maximum|maxi|best|bester|bestwert|meilleur|meilleure|mejor|min|minimum|sum|summe|total|diff|difference|differenz|cv|median|mediana)(?= |$)/g;
const visitIn =
  /(?:^| )(pre ?test|post ?test|pre|post|baseline|before|after|mid|vorher|nachher|vortest|nachtest|vor|nach|avant|apres|antes|despues|follow up|fu|(?:w|wk|week|woche|semaine|semana|visit|visite|visita|session|seance|sesion|t|v|s|mzp|termin) ?\d{1,2})(?= |$)/;
const fillers =
  /(?:^| )(?:grip|strength|force|hand|hands|griffkraft|handkraft|kraft|prehension|fuerza|agarre|peak|value|speed|chs|club|clubhead|head|swing|swings|trial|trials|attempt|rep|versuch|essai|intento|ensayo|schlag|schwung|coup|golpe|shot|squeeze|wdh|no|nr|in|of|the|at|de|du|la|le|am|im|an|the|position|main|mano|geschwindigkeit|schlagerkopfgeschwindigkeit|schlagergeschwindigkeit|vitesse|velocidad|tete|cabeza|palo|pos|test|measurement|messung|and|und|serrage|prension|#|driver speed)(?= |$)/g;
const ofSpeed =
  /(?:^| )(?:chs|speed|swings?|schwung|schlag|vitesse|velocidad|geschwindigkeit|\w*geschwindigkeit|coup|golpe|shot)(?= |$)/;
const ofForce =
  /(?:^| )(?:grip|strength|force|\w*kraft|prehension|fuerza|agarre|prension|squeeze|serrage)(?= |$)/;

/** Takes the heading of one column apart: "Lead address 1", "CHS_driver_2 (mph)", "T1_R_3". */
export function factsOf(heading: string, context: HeadingContext): HeadingFacts {
  const { words, unit } = headingParts(heading);
  let rest = ` ${words} `;
  const summary = rest.search(summaryWords) >= 0;
  rest = rest.replace(summaryWords, " ");
  const quantity = quantityIn(rest, unit);
  const position = namedIn(rest.trim(), context.positions);
  if (position) rest = ` ${position.rest} `;
  const club = namedIn(rest.trim(), context.clubs);
  if (club) rest = ` ${club.rest} `;
  const hand = handIn(rest.trim()) ?? letterIn(rest, context.letters);
  if (hand) rest = ` ${hand.rest} `;
  const visit = visitIn.exec(rest)?.[1];
  if (visit !== undefined && isVisitWord(visit)) rest = rest.replace(` ${visit} `, "  ");
  const trial = /(?:^| )0?(\d{1,2})(?:st|nd|rd|th|er|e|o)?(?= |$)/.exec(rest);
  if (trial) rest = rest.replace(trial[0], " ");
  for (let i = 0; i < 2; i++) rest = rest.replace(fillers, " ");
  return {
    ...(hand ? { hand: hand.hand } : {}),
    ...(position ? { position: position.id } : {}),
    ...(club ? { club: club.id } : {}),
    ...(visit !== undefined && isVisitWord(visit) ? { visit } : {}),
    ...(trial?.[1] ? { trial: String(Number(trial[1])) } : {}),
    ...(quantity ?? (club ? ({ quantity: "speed" } as const) : {})),
    unit,
    summary,
    rest: rest.replace(/\s+/g, " ").trim(),
  };
}

function quantityIn(words: string, unit: string): { quantity: "force" | "speed" } | undefined {
  if (/^(?:kgs?|kgf|kp|n|newton|lbs?|lbf|pounds?)$/.test(unit)) return { quantity: "force" };
  if (/^(?:mph|mi\/h|m\/s|m\.s-1|ms-1|km\/h|kmh|kph)$/.test(unit)) return { quantity: "speed" };
  if (ofForce.test(words)) return { quantity: "force" };
  return ofSpeed.test(words) ? { quantity: "speed" } : undefined;
}

function letterIn(
  words: string,
  letters: Readonly<Record<string, string>>,
): { hand: string; rest: string } | undefined {
  for (const [letter, hand] of Object.entries(letters))
    if (words.includes(` ${letter} `))
      return { hand, rest: words.replace(` ${letter} `, " ").trim() };
  return undefined;
}

/** Single letters that stand alone in the headings of a file. */
export function lettersIn(headings: readonly string[]): Set<string> {
  return new Set(
    headings.flatMap((heading) => headingParts(heading).words.match(/(?<= |^)[a-z](?= |$)/g) ?? []),
  );
}

/** Whether a heading is of something else than trials. */
export function isOfPerson(heading: string): boolean {
  const concept = conceptOf(heading);
  return (
    concept !== undefined &&
    [
      "participant",
      "age",
      "mass",
      "height",
      "handicap",
      "handle",
      "minutes",
      "other",
      "date",
      "sex",
      "plays",
      "writes",
      "arm",
      "gym",
      "note",
      "unit",
      "device",
    ].includes(concept)
  );
}
