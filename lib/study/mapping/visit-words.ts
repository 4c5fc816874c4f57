import type { StudyDesign } from "../package/design.js";
import { plainHeading } from "./heading-words.js";

const first =
  /^(?:pre|pretest|pre test|before|baseline|base|bl|vor|vorher|vortest|avant|antes|initial|inicial|eingang|eingangstest|ausgangswert|entry|prae|pra|prima|iniziale|basale|fore|voormeting)$/;
const last =
  /^(?:post|posttest|post test|after|final|end|nach|nachher|nachtest|apres|despues|ende|abschluss|exit|fin|dopo|finale|pos|depois|efter|nameting)$/;
const middle =
  /^(?:mid|middle|midway|halfway|mitte|zwischen|zwischentest|milieu|mi|medio|intermedio|intermediate|intermediario|mellan)$/;
const later = /^(?:fu|follow up|followup|retention|nachuntersuchung|suivi|seguimiento|retest)$/;
const week = /^(?:w|wk|week|woche|wo|semaine|sem|semana|settimana|vecka|s)? ?0*(\d{1,3})$/;
const counted =
  /^(?:t|v|s|m|visit|visite|visita|session|seance|sesion|test|termin|time|timepoint|time point|messung|mzp|besuch|phase|occasion|toma|prueba|sessione|sessao|besok|bezoek|meting|matning|tillfalle|day|tag)? ?0*(\d{1,2})$/;
const weekWord = /^(?:w|wk|week|woche|semaine|sem|semana|settimana|vecka) ?0*(\d{1,3})$/;

/** What a text says of a visit, if it is a word for one. */
export function isVisitWord(text: string): boolean {
  const plain = plainHeading(text);
  return (
    [first, last, middle, later, weekWord].some((pattern) => pattern.test(plain)) ||
    (/[a-z]/.test(plain) && counted.test(plain))
  );
}

/**
 * Which occasion of the design each code means: by id or title, by week, by words for before and
 * after, or by count. Undefined unless every code has one, each a different one.
 */
export function visitsMeant(
  codes: readonly string[],
  design: Pick<StudyDesign, "occasions">,
  inWeeks = false,
): Readonly<Record<string, string>> | undefined {
  const occasions = [...design.occasions].sort((a, b) => a.week - b.week);
  const ids = occasions.map(({ id }) => id);
  const byName = namesOf(occasions);
  const ways: ((code: string) => string | undefined)[] = [
    (code) => byName.get(code),
    (code) => byWord(code, ids),
    (code) => {
      const found = weekWord.exec(code) ?? (inWeeks ? week.exec(code) : null);
      return found ? occasions.find((one) => one.week === Number(found[1]))?.id : undefined;
    },
  ];
  const plain = codes.map(plainHeading);
  const direct = plain.map((code) => {
    for (const way of ways) {
      const id = way(code);
      if (id !== undefined) return id;
    }
    return undefined;
  });
  return pairs(codes, direct) ?? pairs(codes, byCount(plain, ids));
}

function namesOf(occasions: StudyDesign["occasions"]): Map<string, string> {
  return new Map(
    occasions.flatMap(({ id, title }) => [
      [plainHeading(id), id],
      [plainHeading(title), id],
    ]),
  );
}

function byWord(code: string, ids: readonly string[]): string | undefined {
  if (first.test(code)) return ids[0];
  if (middle.test(code)) return ids.length === 3 ? ids[1] : undefined;
  if (later.test(code)) return ids.length === 3 ? ids[2] : undefined;
  if (!last.test(code) || ids.length < 2) return undefined;
  return ids.length === 2 ? ids[1] : undefined;
}

/** Counted codes, such as T1 and T2, in their order, when there are as many as visits. */
function byCount(codes: readonly string[], ids: readonly string[]): (string | undefined)[] {
  const numbers = codes.map((code) => counted.exec(code)?.[1]);
  if (numbers.some((number) => number === undefined)) return prePost(codes, ids);
  const order = [...new Set(numbers.map(Number))].sort((a, b) => a - b);
  const steps = order.every((number, i) => i === 0 || number === (order[i - 1] ?? 0) + 1);
  if (order.length !== ids.length || !steps || (order[0] ?? 9) > 1) return [];
  return numbers.map((number) => ids[order.indexOf(Number(number))]);
}

/** Before, after and follow-up of three visits. */
function prePost(codes: readonly string[], ids: readonly string[]): (string | undefined)[] {
  if (ids.length !== 3 || !codes.some((code) => later.test(code))) return [];
  return codes.map((code) => {
    if (first.test(code)) return ids[0];
    if (last.test(code)) return ids[1];
    return later.test(code) ? ids[2] : undefined;
  });
}

function pairs(
  codes: readonly string[],
  ids: readonly (string | undefined)[],
): Record<string, string> | undefined {
  if (ids.length !== codes.length || ids.some((id) => id === undefined)) return undefined;
  const plainOf = new Map<string, string>();
  for (const [i, id] of ids.entries()) {
    const plain = plainHeading(codes[i] ?? "");
    const other = plainOf.get(id ?? "");
    if (other !== undefined && other !== plain) return undefined;
    plainOf.set(id ?? "", plain);
  }
  return Object.fromEntries(codes.map((code, i) => [code, ids[i] ?? ""]));
}
