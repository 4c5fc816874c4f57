import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { frozen } from "../stats/estimate.js";
import { shown } from "../stats/input.js";
import { steiber2016 } from "./norms-steiber.js";
import { tomkinson2025 } from "./norms-tomkinson.js";

/** The published tables: international percentiles, or German means by sex, age and height. */
export type NormTable = "tomkinson2025" | "steiber2016";

/** Where a value stands among fifths of the reference population. */
export type NormBand = "low" | "somewhat low" | "moderate" | "somewhat high" | "high";

/** The person that a norm is looked up for. */
export interface NormPerson {
  /** "female" or "male", as the published tables divide people. */
  readonly sex: string;
  /** Age in years, whole or not: 24.5 belongs to 20 to 24. */
  readonly ageYears: number;
  /** Body height in cm; only the table "steiber2016" has heights. */
  readonly heightCm?: number;
}

/** A grip value compared with a published table. */
export interface NormPlace {
  /** Name of this record. */
  readonly kind: "normPercentile";
  /** The published table that was read. */
  readonly table: NormTable;
  /** The group looked up, in words. */
  readonly group: string;
  /** The grip value, kgf. */
  readonly gripKgf: number;
  /** Percent of the group below this value. Outside the table's outer columns it is that column. */
  readonly percentile: number;
  /** Set when the value lies outside the outer columns, so the percentile is only a bound. */
  readonly beyond?: "below" | "above";
  /** Fifth of the group that the value lies in, from "low" to "high". */
  readonly band: NormBand;
  /** Median of the group, kgf, or its mean where the table has no median. */
  readonly centreKgf: number;
  /** Below the threshold of weakness that the source prints, mean − 1 SD ("steiber2016" only). */
  readonly belowThreshold?: boolean;
  /** The median ± 11 kgf, the spread of people alike in age, height and mass: the least to expect. */
  readonly individual: { readonly low: number; readonly high: number };
  /** How it was computed, in a phrase that a report can print. */
  readonly method: string;
  /** Citation of the table. */
  readonly source: string;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
}

/**
 * Residual SD of grip once age, height and mass are known is 5.57 kgf in 13,676 adults, so 95 % of
 * people alike in all three lie within about 11 kgf of their group's median; people alike in sex and
 * age alone spread wider. Source: Bohannon RW, Wang YC, Yen SC, Grogan KA (2019) Am J
 * Occup Ther, doi:10.5014/ajot.2019.029538, abstract.
 */
const individualSpreadKgf = 11;

const sources: Readonly<Record<NormTable, string>> = {
  tomkinson2025:
    "Tomkinson GR et al. (2025) J Sport Health Sci 14:101014, doi:10.1016/j.jshs.2024.101014, table 2",
  steiber2016:
    "Steiber N (2016) PLoS ONE 11(10):e0163917, doi:10.1371/journal.pone.0163917, tables 1, 2, S3",
};

const cautions: Readonly<Record<NormTable, readonly string[]>> = {
  tomkinson2025: [
    "The table is for the highest of three squeezes of a hand, seated, elbow bent, on a hydraulic dynamometer. Another posture, device or rule changes a value by up to 10 to 17 %.",
  ],
  steiber2016: [
    "The table is for German households and a spring dynamometer; a hydraulic one may read otherwise.",
  ],
};
const shared = [
  `People of the same age, height and body mass differ by ±${individualSpreadKgf} kgf, so a comparison says little about one person.`,
];

/** One row of a table: what is needed to place a value. */
interface Group {
  readonly name: string;
  /** Median, kgf, or the mean where the table has no median. */
  readonly centre: number;
  readonly place: (gripKgf: number) => Pick<NormPlace, "percentile" | "beyond" | "belowThreshold">;
  readonly method: string;
}

/**
 * Places a grip value among people of one sex and age (and height) in a published table.
 *
 * "tomkinson2025" has eleven percentiles: between two of them the percentile is interpolated along a
 * straight line, outside them it is only a bound (`beyond`). "steiber2016" has means and SD: the
 * percentile is 100 Φ((grip − mean) / SD). Bands are the fifths used by Tomkinson: low below the 20th
 * percentile, somewhat low below the 40th, moderate below the 60th, somewhat high below the 80th.
 * @param person sex "female" or "male" (or F, M); age in years; height in cm, if wanted; grip of one
 *   hand in kgf
 * @param options table, by default "tomkinson2025"
 * @throws InputError when the table has no such sex, age or height, or the grip is not positive
 * @see Tomkinson GR et al. (2025) J Sport Health Sci 14:101014
 * @see Steiber N (2016) PLoS ONE 11(10):e0163917
 * @example normPercentile({ sex: "male", ageYears: 24.5, gripKgf: 48 }).percentile // 50
 */
export function normPercentile(
  { gripKgf, ...person }: NormPerson & { gripKgf: number },
  options: { table?: NormTable } = {},
): NormPlace {
  knownOptions(options, ["table"], "normPercentile");
  const { table = "tomkinson2025" } = options;
  const where = "normPercentile";
  if (typeof gripKgf !== "number" || !Number.isFinite(gripKgf) || gripKgf <= 0) {
    throw refused("a grip above 0 kgf", gripKgf, `${where}, gripKgf`);
  }
  const { name, centre, place, method } = groupOf(person, table, where);
  const found = place(gripKgf);
  return frozen({
    kind: "normPercentile",
    table,
    group: name,
    gripKgf,
    ...found,
    band: bandOf(found.percentile, found.beyond),
    centreKgf: centre,
    individual: { low: centre - individualSpreadKgf, high: centre + individualSpreadKgf },
    method,
    source: sources[table],
    cautions: [...cautions[table], ...shared],
  });
}

/**
 * The median of a person's group in a published table (its mean where there is no median), kgf: the
 * reference for mistaken units.
 * @param person sex, age in years, and height in cm if the table has heights
 * @param options table, by default "tomkinson2025"
 * @throws InputError when the table has no such sex, age or height
 * @see normPercentile
 * @example publishedMedian({ sex: "female", ageYears: 32 }) // 29.7
 */
export function publishedMedian(person: NormPerson, options: { table?: NormTable } = {}): number {
  knownOptions(options, ["table"], "publishedMedian");
  const { table = "tomkinson2025" } = options;
  return groupOf(person, table, "publishedMedian").centre;
}

function groupOf(person: NormPerson, table: NormTable, where: string): Group {
  if (table === "tomkinson2025") return tomkinsonGroup(person, where);
  if (table === "steiber2016") return steiberGroup(person, where);
  throw refused('"tomkinson2025" or "steiber2016"', table, `${where}, table`);
}

function tomkinsonGroup({ sex, ageYears }: NormPerson, where: string): Group {
  const { ageFrom, percentiles } = tomkinson2025;
  const which = sexOf(sex, where);
  const row = groupIndex(ageYears, ageFrom, Number.POSITIVE_INFINITY);
  if (row < 0)
    throw refused(
      "an age from 20 years (Steiber 2016 begins at 17 years)",
      ageYears,
      `${where}, ageYears`,
    );
  const values: readonly number[] = itemAt<readonly number[]>(tomkinson2025[which], row);
  return {
    name: `${which}, ${span(ageFrom, row, "or more")} years`,
    centre: itemAt(values, percentiles.indexOf(50)),
    place: (gripKgf) => along(values, percentiles, gripKgf),
    method: "percentile by linear interpolation between the columns of the table",
  };
}

function steiberGroup({ sex, ageYears, heightCm }: NormPerson, where: string): Group {
  const { ageFrom } = steiber2016;
  const which = sexOf(sex, where);
  const row = groupIndex(ageYears, ageFrom, 91);
  if (row < 0) throw refused("an age from 17 to 90 years", ageYears, `${where}, ageYears`);
  const name = `${which}, ${span(ageFrom, row, "to 90")} years`;
  if (heightCm === undefined) {
    const { mean, sd, median } = steiber2016[which];
    return { ...bell(name, itemAt(mean, row), itemAt(sd, row)), centre: itemAt(median, row) };
  }
  return heightGroup({ which, row, heightCm, name, where });
}

function heightGroup(asked: {
  which: "female" | "male";
  row: number;
  heightCm: number;
  name: string;
  where: string;
}): Group {
  const { which, row, heightCm, name, where } = asked;
  const { heightFrom, heightEnd, meanByHeight, sdByHeight } = steiber2016[which];
  const column = groupIndex(heightCm, heightFrom, heightEnd);
  const means = itemAt<readonly (number | null)[]>(meanByHeight, row);
  const mean = column < 0 ? null : itemAt(means, column);
  if (mean === null) {
    const upper = Number.isFinite(heightEnd) ? ` to under ${heightEnd} cm` : " cm";
    const expected = `a height from ${heightFrom[0]}${upper} with people in it, or no height`;
    throw refused(expected, heightCm, `${where}, heightCm, ${name}`);
  }
  const height = `${span(heightFrom, column, which === "male" ? "or more" : "to 184")} cm`;
  const sds = itemAt<readonly (number | null)[]>(sdByHeight, row);
  return bell(`${name}, ${height}`, mean, present(sds[column]));
}

/** A group known by its mean and SD alone. */
function bell(name: string, mean: number, sd: number): Group {
  const curve = normal(mean, sd);
  return {
    name,
    centre: mean,
    place: (gripKgf) => ({
      percentile: 100 * curve.cdf(gripKgf),
      belowThreshold: gripKgf < mean - sd,
    }),
    method: "percentile of a normal curve with the mean and SD of the table",
  };
}

/** Position on a row of percentiles, by straight lines between them. */
function along(
  values: readonly number[],
  percentiles: readonly number[],
  x: number,
): Pick<NormPlace, "percentile" | "beyond"> {
  const last = values.length - 1;
  if (x < itemAt(values, 0)) return { percentile: itemAt(percentiles, 0), beyond: "below" };
  if (x > itemAt(values, last)) return { percentile: itemAt(percentiles, last), beyond: "above" };
  const right = Math.max(
    1,
    values.findIndex((value) => value >= x),
  );
  const [low, high] = [itemAt(values, right - 1), itemAt(values, right)];
  const [from, to] = [itemAt(percentiles, right - 1), itemAt(percentiles, right)];
  return { percentile: from + ((to - from) * (x - low)) / (high - low) };
}

function bandOf(percentile: number, beyond?: "below" | "above"): NormBand {
  if (percentile < 20 || beyond === "below") return "low";
  if (percentile < 40) return "somewhat low";
  if (percentile < 60) return "moderate";
  return percentile < 80 ? "somewhat high" : "high";
}

/** The last group that starts at or below a value; −1 outside the table. Groups end where the next starts. */
function groupIndex(value: unknown, starts: readonly number[], end: number): number {
  if (typeof value !== "number" || !Number.isFinite(value) || value >= end) return -1;
  return starts.findLastIndex((start) => value >= start);
}

function span(starts: readonly number[], index: number, open: string): string {
  const next = starts[index + 1];
  return next === undefined ? `${starts[index]} ${open}` : `${starts[index]} to ${next - 1}`;
}

function sexOf(sex: unknown, where: string): "female" | "male" {
  const text = typeof sex === "string" ? sex.trim().toLowerCase() : "";
  if (text === "female" || text === "f") return "female";
  if (text === "male" || text === "m") return "male";
  throw refused('"female" or "male", as the published tables have it', sex, `${where}, sex`);
}

function refused(expected: string, got: unknown, where: string): InputError {
  return new InputError({ expected, got: shown(got), where });
}
