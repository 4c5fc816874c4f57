import type { ColumnTable } from "arquero";
import { InputError } from "../errors.js";
import type {
  GolferAccount,
  GolferChange,
  GolferNorm,
  GolferSeries,
} from "../report/golfer-account.js";
import { reliability } from "../stats/reliability.js";
import { responders } from "../stats/responders.js";
import { beforeAfter } from "../study/before-after.js";
import { normPercentile } from "../study/norms.js";
import { gripRules, speedRules } from "../study/rules.js";
import type { Study } from "../study/study.js";
import { summariseGrip, summariseSpeed } from "../study/summary.js";
import { trialsByPerson } from "../study/trials-by-person.js";

type Row = Readonly<Record<string, string | number | null>>;

/** A quantity that the study measures: how its rows are found and what they hold. */
interface Measure {
  readonly name: string;
  readonly role: GolferSeries["role"];
  readonly kind: "grip" | "swing";
  readonly unit: string;
  readonly where: Readonly<Record<string, string>>;
  readonly value: string;
  readonly trial: string;
  readonly rule: string;
  readonly summary: ColumnTable;
}

function ruleName(rule: string | Readonly<Record<string, string>>): string {
  return typeof rule === "string" ? rule : (Object.values(rule)[0] ?? "mean");
}

function ruleTitle(id: string): string {
  return [...gripRules, ...speedRules].find((rule) => rule.id === id)?.title ?? id;
}

function gripMeasures(study: Study): Measure[] {
  const rule = ruleName(study.plan.summaries.grip);
  const perHand = gripRules.find(({ id }) => id === rule)?.hands === "each";
  const summary = summariseGrip(study, { rule: perHand ? rule : "mean3" });
  const { hands, positions } = study.design;
  return hands.flatMap((hand) =>
    positions.map(({ id, title }) => ({
      name: `${hand === "lead" ? "Lead" : "Trail"} hand, ${title.toLowerCase()}`,
      role: hand,
      kind: "grip" as const,
      unit: "kgf",
      where: { hand, position: id },
      value: "grip_kgf",
      trial: "force_kgf",
      rule: ruleTitle(perHand ? rule : "mean3"),
      summary,
    })),
  );
}

function speedMeasures(study: Study): Measure[] {
  const rule = ruleName(study.plan.summaries.speed);
  const summary = summariseSpeed(study, { rule });
  return study.design.clubs.map((club) => ({
    name: `Speed with the ${club}`,
    role: "speed" as const,
    kind: "swing" as const,
    unit: "mph",
    where: { club },
    value: "speed_mph",
    trial: "speed_mph",
    rule: ruleTitle(rule),
    summary,
  }));
}

function matching(table: ColumnTable, where: Readonly<Record<string, string>>): Row[] {
  const rows = table.objects() as Row[];
  return rows.filter((row) => Object.entries(where).every(([key, value]) => row[key] === value));
}

interface ErrorOf {
  readonly typical: number;
  readonly betweenVisits: boolean;
  readonly from: string;
}

/** Ends of the study: the first and the last occasion by week. */
function ends({ design }: Study): { before: string; after: string } {
  const order = [...design.occasions].sort((a, b) => a.week - b.week);
  return { before: order[0]!.id, after: order.at(-1)!.id };
}

/**
 * What two visits of an unchanged person differ by: from the control arm where there is one, else
 * from the trials of one visit, which is too little and said to be.
 */
function errorOf(study: Study, measure: Measure): ErrorOf | undefined {
  const { before, after } = ends(study);
  const control = study.design.arms.find((arm) => arm.control);
  try {
    if (control && before !== after) {
      const options = { before, after, where: measure.where, value: measure.value };
      const pairs = beforeAfter(study, measure.summary, options);
      const rows = pairs.participant
        .map((_, i) => [pairs.before[i]!, pairs.after[i]!])
        .filter((_, i) => pairs.arm[i] === control.id);
      return {
        typical: reliability(rows).typicalError.value,
        betweenVisits: true,
        from: `visit to visit in the arm “${control.title}”`,
      };
    }
    return withinVisit(study, measure, before);
  } catch (error) {
    if (error instanceof InputError) return undefined; // too few people for an error of this measure
    throw error;
  }
}

const mphPerMps = 1 / 0.44704;

function withinVisit(study: Study, measure: Measure, occasion: string): ErrorOf {
  const where = { ...measure.where, occasion };
  const { table, unit } = trialsByPerson(study, { trials: measure.kind, where });
  const factor = unit === "m/s" ? mphPerMps : 1;
  const trials = table[0]?.length ?? 1;
  return {
    typical: (reliability(table).typicalError.value * factor) / Math.sqrt(trials),
    betweenVisits: false,
    from: "trial to trial within one visit; from visit to visit it is larger",
  };
}

function changeOf(
  values: readonly (number | null)[],
  error: ErrorOf | undefined,
): GolferChange | undefined {
  const [first, last] = [values[0], values.at(-1)];
  if (!error || values.length < 2 || first == null || last == null) return undefined;
  const [result] = responders([last - first], { typicalError: error.typical });
  return {
    value: last - first,
    detectable: (result!.high - result!.low) / 2,
    verdict: result!.verdict,
    betweenVisits: error.betweenVisits,
    from: error.from,
  };
}

/** Rows of one measure, sorted once for all golfers. */
interface Prepared {
  readonly measure: Measure;
  readonly trials: readonly Row[];
  readonly values: readonly Row[];
  readonly error: ErrorOf | undefined;
}

function seriesOf(
  code: string,
  occasions: readonly string[],
  { measure, trials, values, error }: Prepared,
): GolferSeries {
  const visits = occasions.map((occasion) => {
    const at = (row: Row) => row.participant === code && row.occasion === occasion;
    const value = values.find(at)?.[measure.value];
    return {
      trials: trials.filter(at).map((row) => Number(row[measure.trial])),
      value: typeof value === "number" ? value : null,
    };
  });
  const { name, role, unit, rule } = measure;
  return {
    name,
    role,
    unit,
    rule,
    visits,
    change: changeOf(
      visits.map(({ value }) => value),
      error,
    ),
  };
}

/** The best squeeze of the last visit with any, against people of the same sex and age. */
function normOf(person: Row, series: readonly GolferSeries[]): GolferNorm | string {
  const grips = series.filter(({ role }) => role !== "speed");
  const last = grips[0]
    ? grips[0].visits.findLastIndex((_, i) => grips.some((one) => one.visits[i]!.trials.length))
    : -1;
  const tried = grips.flatMap((one) =>
    (one.visits[last]?.trials ?? []).map((force) => ({ force, hand: one.name })),
  );
  const best = tried.sort((a, b) => b.force - a.force)[0];
  if (!best) return "no squeeze was recorded";
  const { sex, age_years: ageYears } = person;
  if (typeof sex !== "string" || typeof ageYears !== "number") return "sex or age is not recorded";
  try {
    const place = normPercentile(
      { sex, ageYears, gripKgf: best.force },
      { table: "tomkinson2025" },
    );
    const { group, middleKgf, band, individual, source, cautions } = place;
    return {
      best: best.force,
      hand: best.hand,
      group,
      middle: middleKgf,
      band,
      ...individual,
      source,
      cautions,
    };
  } catch (error) {
    if (error instanceof InputError)
      return `the published table has no group for this golfer (${error.expected})`;
    throw error;
  }
}

/** Every participant's own results; by code, never by name. */
export function golferAccounts(study: Study): GolferAccount[] {
  const occasions = [...study.design.occasions].sort((a, b) => a.week - b.week);
  const prepared = [...gripMeasures(study), ...speedMeasures(study)].map((measure) => ({
    measure,
    trials: matching(measure.kind === "grip" ? study.gripTrials : study.swingTrials, measure.where),
    values: matching(measure.summary, measure.where),
    error: errorOf(study, measure),
  }));
  return (study.participants.objects() as Row[]).map((person) => {
    const code = String(person.participant);
    const ids = occasions.map(({ id }) => id);
    const series = prepared.map((one) => seriesOf(code, ids, one));
    const norm = normOf(person, series);
    return {
      code,
      study: study.title,
      simulated: study.simulated,
      arm: study.design.arms.find(({ id }) => id === person.arm)?.title ?? String(person.arm),
      visits: occasions.map(({ title }) => title),
      series: series.filter(({ visits }) => visits.some(({ trials }) => trials.length > 0)),
      ...(typeof norm === "string" ? { noNorm: norm } : { norm }),
      cautions: study.cautions,
    };
  });
}
