import { looksLikeFormula } from "../csv-writing.js";
import { InputError } from "../errors.js";
import type { SheetPerson } from "../study/plan/sheets.js";
import type { Study } from "../study/study.js";
import { readUnit } from "../units/unit.js";
import { UsageError } from "./arguments.js";

/** The occasions that an option names: one, or all of them. */
export function occasionsOf(
  known: readonly string[],
  wanted: string | undefined,
): readonly string[] {
  if (wanted === undefined) return known;
  if (known.includes(wanted)) return [wanted];
  throw new UsageError(`--occasion is one of ${known.join(", ")}`);
}

/** The golfers of the participants file who have not left, or codes to be given out. */
export function peopleOf(study: Study, count: number | undefined, command: string): SheetPerson[] {
  if (count !== undefined) return codesFor(count);
  const rows = study.participants.objects() as {
    participant: string;
    plays?: unknown;
    withdrew_on?: unknown;
  }[];
  const people = rows
    .filter(({ withdrew_on }) => !withdrew_on)
    .map(({ participant, plays }): SheetPerson => {
      return plays === "right" || plays === "left" ? { participant, plays } : { participant };
    });
  const odd = people.find(({ participant }) => looksLikeFormula(participant));
  if (odd) {
    const where = `tautline ${command}, participants`;
    const expected = "codes that a spreadsheet does not take for formulas";
    throw new InputError({ expected, got: JSON.stringify(odd.participant), where });
  }
  if (people.length > 0) return people;
  throw new UsageError("participants.csv is still empty; use --people 12 for twelve codes");
}

function codesFor(count: number): SheetPerson[] {
  if (!Number.isInteger(count) || count > 999)
    throw new UsageError("--people is a whole number from 1 to 999");
  const width = Math.max(2, String(count).length);
  return Array.from({ length: count }, (_, i) => {
    return { participant: `G${String(i + 1).padStart(width, "0")}` };
  });
}

/** The units that the devices show. */
export interface Units {
  /** Unit of the dynamometer. */
  readonly forceUnit: string;
  /** Unit of the speed device. */
  readonly speedUnit: string;
}

/** The units that options name.
 * @throws UsageError when one is no unit of its quantity */
export function unitsOf(force = "kgf", speed = "mph"): Units {
  try {
    return {
      forceUnit: readUnit(force, { quantity: "force", where: "--force-unit" }).symbol,
      speedUnit: readUnit(speed, { quantity: "speed", where: "--speed-unit" }).symbol,
    };
  } catch (error) {
    throw new UsageError((error as Error).message);
  }
}
