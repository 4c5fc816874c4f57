import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { frozen } from "../stats/estimate.js";
import { fitLine } from "../stats/regression.js";
import { type SlopesByGroup, slopesByGroup } from "../stats/slopes-by-group.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import type { Arm } from "../study/package/design.js";
import { participantColumn } from "../study/tables/trials-by-person.js";
import { covariateName } from "./covariates.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change, Outcome } from "./outcome.js";
import { type RelationAnswer, relate } from "./relate.js";
import { outcomeBehind, type RelatedPoint } from "./related-rows.js";
import { column, limitColumns, limitsOf, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

/** Which groups a relation is looked at in. */
export interface GroupOptions {
  /** Id of the visit; the first of the design unless given; not for changes. */
  readonly at?: string;
  /** Column of the participants file, or "arm". */
  readonly by: string;
  /** For a column of numbers: where one group ends and the next begins, such as [40, 60]. */
  readonly cuts?: readonly number[];
}

/** The golfers of one group and their line. */
export interface RelationGroup {
  /** Name of the group. */
  readonly name: string;
  /** Golfers of the group. */
  readonly points: readonly RelatedPoint[];
  /** Their line over the range that was seen; left out where they are too few for one. */
  readonly line?: { slope: number; intercept: number; from: number; to: number };
  /** Where the groups are arms: whether this one is the control arm. */
  readonly control?: boolean;
}

/** The slope that groups share, with the lines of the groups beside it. */
export interface GroupedRelation extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "relateInGroups";
  /** Everybody in one line, each group, and the slope common to the groups. */
  readonly slopes: ResultTable;
  /** The golfers by group. */
  readonly groups: readonly RelationGroup[];
  /** Everybody in one line. */
  readonly everybody: RelationAnswer;
}

/**
 * A relation inside groups of golfers (Simpson's paradox): the slope that parallel lines of the
 * groups share, beside the line over everybody and the line of each group.
 * @param y the outcome or change that is predicted
 * @param x the outcome or change that it is predicted from
 * @returns the common slope; why there is none in `unanswered`
 * @throws InputError when `by` is not a column of the participants file, or holds numbers and no
 *   cuts are given
 */
export function relateInGroups(
  y: Outcome | Change,
  x: Outcome | Change,
  options: GroupOptions,
): GroupedRelation {
  knownOptions(options, ["at", "by", "cuts"], "relateInGroups");
  const { at, by } = options;
  const everybody = relate(y, x, at === undefined ? {} : { at });
  const { study } = outcomeBehind(y);
  const codes = everybody.points.map(({ participant }) => participant);
  const labels = labelsOf(participantColumn(study, codes, by), options);
  const kept = labels.flatMap((label, i) =>
    label === null ? [] : [{ label, point: itemAt(everybody.points, i) }],
  );
  const rank = (label: string) => (options.cuts ? bandNames(options.cuts).indexOf(label) : 0);
  const names = [...new Set(kept.map(({ label }) => label))].sort(
    (a, b) => rank(a) - rank(b) || (a < b ? -1 : 1),
  );
  const groups = names.map((name) => {
    const points = kept.filter(({ label }) => label === name).map(({ point }) => point);
    return { ...groupNamed(study.design.arms, by, name), points };
  });
  return grouped(everybody, groups, by, study.plan.level);
}

function labelsOf(
  values: readonly (string | number | null)[],
  { by, cuts }: GroupOptions,
): (string | null)[] {
  return values.map((value) => {
    if (value === null || typeof value === "string") return value;
    if (cuts === undefined || cuts.length === 0) {
      const expected = `cuts for the groups of ${by}, such as [40, 60]`;
      throw new InputError({ expected, got: "none", where: "relateInGroups" });
    }
    return itemAt(bandNames(cuts), cuts.filter((cut) => value >= cut).length);
  });
}

/** "under 40", "40 to under 60", "60 and over" */
function bandNames(cuts: readonly number[]): string[] {
  const between = cuts.slice(1).map((cut, i) => `${cuts[i]} to under ${cut}`);
  return [`under ${cuts[0]}`, ...between, `${cuts.at(-1)} and over`];
}

function groupNamed(
  arms: readonly Arm[],
  by: string,
  name: string,
): Pick<RelationGroup, "name" | "control"> {
  const arm = by === "arm" ? arms.find(({ id }) => id === name) : undefined;
  return arm ? { name: arm.title, control: arm.control === true } : { name };
}

function grouped(
  everybody: RelationAnswer,
  groups: readonly Pick<RelationGroup, "name" | "points" | "control">[],
  by: string,
  level: number,
): GroupedRelation {
  const rows = groups.flatMap(({ name, points }) => points.map((point) => ({ name, ...point })));
  const fields = fieldsOf(everybody, by, rows.length);
  const why = everybody.unanswered ?? obstacle(groups, rows.length);
  if (why !== undefined) {
    const base = answer({ ...fields, unanswered: why });
    const slopes = resultTable(why, [], []);
    return frozen({ ...base, kind: "relateInGroups" as const, slopes, groups, everybody });
  }
  const found = slopesByGroup(
    rows.map(({ name }) => name),
    rows.map(({ x }) => x),
    rows.map(({ y }) => y),
    { level },
  );
  const base = answer({
    ...fields,
    estimate: found.within,
    leaveOneOut: leaveOneOutOf(
      found.within,
      rows.map(({ participant }) => participant),
      commonWithoutEach(rows, groups, level),
    ),
    warnings: reversalWords(found.reversal),
  });
  const slopes = slopesTable(everybody, found, by);
  const lines = groups.map((group) => ({ ...group, ...lineOf(group.points) }));
  return frozen({ ...base, kind: "relateInGroups" as const, slopes, groups: lines, everybody });
}

function fieldsOf(everybody: RelationAnswer, by: string, n: number): AnswerFields {
  const { quantity, measure, on, visits, axes, rule, source } = everybody;
  return {
    kind: "relateInGroups",
    quantity,
    aspect: `${everybody.aspect ?? "slope"} common to groups of ${covariateName(by)}`,
    measure,
    ...(on && { on }),
    ...(visits && { visits }),
    unit: axes.slope,
    count: { n, of: "golfers" },
    rule,
    method: "parallel lines",
    source,
  };
}

function slopesTable(everybody: RelationAnswer, found: SlopesByGroup, by: string): ResultTable {
  const { axes, points, estimate: overall } = everybody;
  const line = (name: string, n: number, estimate: Answer["estimate"]) => ({
    name,
    n,
    value: estimate?.value ?? null,
    ...limitsOf(estimate?.interval),
  });
  return resultTable(
    `Slope over everybody, inside each group of ${covariateName(by)}, and common to the groups.`,
    [
      column("name", "Golfers"),
      column("n", "n", "", 0),
      column("value", "Slope", axes.slope, 2),
      ...limitColumns(axes.slope, 2),
    ],
    [
      line("everybody in one line", points.length, overall),
      ...found.groups.map(({ group, n, slope }) => line(group, n, slope)),
      line("common to the groups", found.n, found.within),
    ],
  );
}

function lineOf(points: readonly RelatedPoint[]): Pick<RelationGroup, "line"> {
  const x = points.map((point) => point.x);
  if (points.length < 3 || new Set(x).size < 2) return {};
  const { slope, intercept, centre } = fitLine({ x, y: points.map(({ y }) => y) });
  const { from, to } = centre;
  return { line: { slope: slope.value, intercept: intercept.value, from, to } };
}

function obstacle(
  groups: readonly { points: readonly RelatedPoint[] }[],
  n: number,
): string | undefined {
  if (groups.length < 2) return "All golfers with both values are in one group.";
  if (n < groups.length + 2) {
    return `Lines of ${groups.length} groups need at least ${groups.length + 2} golfers; the study has ${n}.`;
  }
  const varies = groups.some(({ points }) => new Set(points.map(({ x }) => x)).size > 1);
  return varies ? undefined : "Inside each group all golfers have the same value.";
}

function commonWithoutEach(
  rows: readonly { readonly name: string; readonly x: number; readonly y: number }[],
  groups: readonly { readonly name: string }[],
  level: number,
) {
  const columns = [
    rows.map(({ x }) => x),
    ...groups.map(({ name }) => rows.map((row) => (row.name === name ? 1 : 0))),
  ];
  const weights = columns.map((_, i) => (i === 0 ? 1 : 0));
  return withoutEachRow(
    columns,
    rows.map(({ y }) => y),
    weights,
    level,
  );
}

function reversalWords(reversal: "none" | "in the estimates" | "beyond the intervals"): string[] {
  if (reversal === "none") return [];
  return [
    `The slope inside the groups has the opposite sign to the slope over everybody${reversal === "beyond the intervals" ? ", and both intervals exclude zero" : ""}.`,
  ];
}
