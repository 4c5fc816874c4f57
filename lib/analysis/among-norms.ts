import { itemAt } from "../entry.js";
import { unlessRefused } from "../errors.js";
import { lowerFirst } from "../first-letter.js";
import { knownOptions } from "../options.js";
import { pairedChange } from "../stats/change.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { type NormPlace, normPercentile } from "../study/norms.js";
import { sourceOf } from "../study/tables/source.js";
import { summariseGrip } from "../study/tables/summary.js";
import { participantColumn } from "../study/tables/trials-by-person.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { visitOf } from "./related-rows.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/** A golfer among people of the same sex and age. */
export interface GolferAmongNorms {
  /** Code of the golfer. */
  readonly participant: string;
  /** Age in years. */
  readonly age: number;
  /** Highest trial of both hands, kgf. */
  readonly grip: number;
  /** Range of 11 kgf either way of the median of sex and age. */
  readonly low: number;
  /** Upper end of that range. */
  readonly high: number;
}

/** Golfers compared with published reference values. */
export interface NormsAnswer extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "amongNorms";
  /** Golfers above the median of their sex and age. */
  readonly above: Answer;
  /** Where each golfer lies among published reference values. */
  readonly places: ResultTable;
  /** Each golfer with the range of people alike in sex and age. */
  readonly golfers: readonly GolferAmongNorms[];
}

interface Placed {
  readonly participant: string;
  readonly age: number;
  readonly grip: number;
  readonly place: NormPlace;
}

/**
 * How the golfers' grip compares with published reference values of their sex and age: the highest
 * trial of both hands on a visit, in the seated position where the design has one. A reference value
 * says little about one person and nothing about golf.
 *
 * @param study from `openStudy`; participants with sex and age
 * @returns the mean difference, golfers − median of their sex and age, in kgf
 * @throws InputError when a visit or position is not in the design
 * @see normPercentile for the tables
 */
export function amongNorms(
  study: StudyOutcomes,
  options: { readonly at?: string; readonly position?: string } = {},
): NormsAnswer {
  knownOptions(options, ["at", "position"], "amongNorms");
  const visit = visitOf(study, options.at);
  const seated = study.design.positions.find(isSeatedPosition)?.id;
  const position = options.position ?? seated ?? study.design.positions[0]?.id;
  const { placed, lacking } = placesOf(study, visit.id, position);
  const codes = placed.map(({ participant }) => participant);
  const own = study.design.positions.find(({ id }) => id === position);
  const title = own?.title;
  const isSeated = own === undefined || isSeatedPosition(own);
  const fields: AnswerFields = {
    kind: "amongNorms",
    quantity: "difference",
    aspect: `difference from the ${isSeated ? "" : "seated "}median of sex and age`,
    measure: {
      outcome: "grip",
      name: `Highest grip of both hands${title === undefined ? "" : `, ${title.toLowerCase()}`}`,
      ...(position !== undefined && { position }),
    },
    visits: { at: visitName(visit) },
    unit: "kgf",
    count: { n: placed.length, of: "golfers" },
    rule: "highest of six trials, three of each hand",
    method: "mean over golfers, t",
    source: sourceOf(study, {
      trials: "grip",
      participant: codes,
      where: { occasion: visit.id, ...(position !== undefined && { position }) },
    }),
    warnings: isSeated ? lacking : [posturesDiffer(title ?? ""), ...lacking],
  };
  return frozen({
    ...differenceAnswer(fields, placed, study.plan.level),
    kind: "amongNorms" as const,
    above: aboveAnswer(fields, placed),
    places: placesTable(placed),
    golfers: placed.map(({ participant, age, grip, place }) => ({
      participant,
      age,
      grip,
      low: place.individual.low,
      high: place.individual.high,
    })),
  });
}

function isSeatedPosition({ id }: { readonly id: string }): boolean {
  return /seat|sit/.test(id);
}

function posturesDiffer(title: string): string {
  return `The reference values are for the seated position; these golfers were measured ${lowerFirst(title)}. The difference can come from the position alone.`;
}

function placesOf(study: StudyOutcomes, occasion: string, position: string | undefined) {
  const rows =
    study.gripTrials.totalRows() === 0
      ? []
      : summariseGrip(study, { rule: "max6" })
          .objects()
          .filter((row) => row.occasion === occasion && row.position === position);
  const codes = rows.map(({ participant }) => participant);
  const known = (name: string) =>
    study.participants.columnNames().includes(name)
      ? participantColumn(study, codes, name)
      : codes.map(() => null);
  const [sexes, ages, heights] = [known("sex"), known("age_years"), known("height_cm")];
  const placed: Placed[] = [];
  const without: string[] = [];
  for (const [i, { participant, grip_kgf: grip }] of rows.entries()) {
    const [sex, age, height] = [sexes[i], ages[i], heights[i]];
    const place = placeOf(sex, age, height, grip);
    if (place === undefined) without.push(participant);
    else placed.push({ participant, age: Number(age), grip, place });
  }
  const lacking =
    without.length === 0
      ? []
      : [
          `No reference value for ${without.join(", ")}: sex or age is not recorded or not in the tables.`,
        ];
  return { placed, lacking };
}

function placeOf(
  sex: string | number | null | undefined,
  age: string | number | null | undefined,
  height: string | number | null | undefined,
  gripKgf: number,
): NormPlace | undefined {
  if (typeof sex !== "string" || typeof age !== "number") return undefined;
  const person = { sex, ageYears: age, gripKgf };
  return unlessRefused(() =>
    age >= 20 || typeof height !== "number"
      ? normPercentile(person, { table: "tomkinson2025" })
      : normPercentile({ ...person, heightCm: height }, { table: "steiber2016" }),
  );
}

function differenceAnswer(fields: AnswerFields, placed: readonly Placed[], level: number): Answer {
  if (placed.length < 2) {
    const unanswered = `A comparison with reference values needs at least two golfers with sex, age and a valid trial; there ${placed.length === 1 ? "is one" : "are none"}.`;
    return answer({ ...fields, unanswered });
  }
  const medians = placed.map(({ place }) => place.centreKgf);
  const grips = placed.map(({ grip }) => grip);
  const { change } = pairedChange(medians, grips, { level });
  const differences = grips.map((grip, i) => grip - itemAt(medians, i));
  return answer({
    ...fields,
    estimate: change,
    leaveOneOut: leaveOneOutOf(
      change,
      placed.map(({ participant }) => participant),
      withoutEachRow([differences.map(() => 1)], differences, [1], level),
    ),
    warnings: [
      ...(fields.warnings ?? []),
      ...new Set(placed.flatMap(({ place }) => place.cautions)),
    ],
  });
}

function aboveAnswer(fields: AnswerFields, placed: readonly Placed[]): Answer {
  const isAbove = placed.map(({ grip, place }) => grip > place.centreKgf);
  const count = isAbove.filter(Boolean).length;
  const estimate: Estimate = { value: count };
  return answer({
    ...fields,
    quantity: "share",
    aspect: "golfers above the median of their sex and age",
    unit: `of ${placed.length}`,
    method: "counting, published reference values",
    ...(placed.length === 0
      ? { unanswered: "No golfer has a reference value." }
      : {
          estimate,
          leaveOneOut: leaveOneOutOf(
            estimate,
            placed.map(({ participant }) => participant),
            isAbove.map((above) => ({ value: count - (above ? 1 : 0) })),
          ),
        }),
  });
}

function placesTable(placed: readonly Placed[]): ResultTable {
  return resultTable(
    "Where each golfer lies among published reference values; a band is a fifth of the reference group.",
    [
      column("participant", "Golfer"),
      column("group", "Among"),
      column("grip", "Grip", "kgf", 1),
      column("median", "Median", "kgf", 1),
      column("percentile", "Percentile", "", 0),
      column("band", "Band"),
      column("table", "Table"),
    ],
    placed.map(({ participant, grip, place }) => ({
      participant,
      group: place.group,
      grip,
      median: place.centreKgf,
      percentile: place.percentile,
      band: place.band,
      table: place.table,
    })),
  );
}
