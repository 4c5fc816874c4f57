import { itemAt, present, realAt, wholeAt } from "../../entry.js";
import { medianInPlace } from "../../num/median.js";
import type { StudyDesign, StudyPlan } from "../package/design.js";
import { type Scratch, scratchFor } from "../tables/visit-medians.js";
import { counted, rowsOfPerson, runsBy, type Visits } from "../tables/visits.js";
import type { IssueLog } from "./issue-log.js";
import type { People } from "./people.js";
import type { Rows } from "./rows.js";
import { rowPlace } from "./rows.js";
import type { Trials } from "./trials.js";

/**
 * Difference of lead and trail hand that is asked about when it turns round: large as a share and
 * above the error of such a difference, about 1.2 kgf (standard deviation) for nine trials a hand.
 */
const turned = { share: 0.08, kgf: 2.5 } as const;

/** Looks at each person's way through the study: occasions, dates, sides. */
export function checkPeople(
  visits: readonly Visits[],
  { people, participants, design }: { people: People; participants: Rows; design: StudyDesign },
  log: IssueLog,
): void {
  const rowOf = participantRows(participants);
  const rooms = visits.map(scratchFor);
  for (let person = 0; person < people.ids.length; person++) {
    const attended = new Set<number>();
    for (const [v, one] of visits.entries()) {
      const rows = counted(one.trials, rowsOfPerson(one, person));
      for (const row of rows) attended.add(wholeAt(one.trials.occasion, row));
      checkDates(one.trials, rows, people.withdrewOn[person] ?? null, log);
      if (one.trials.kind.valueName === "force")
        checkSides({ one, rows, scratch: itemAt(rooms, v) }, design, log);
    }
    if (attended.size !== 1 || design.occasions.length < 2) continue;
    const value = itemAt(people.ids, person);
    const where = {
      ...rowPlace(participants, present(rowOf.get(value))),
      column: "participant",
    };
    log.add({ ...where, code: "one-occasion", value });
  }
}

function participantRows(rows: Rows): Map<string, number> {
  const { codes, values } = present(rows.columns.get("participant"));
  const found = new Map<string, number>();
  for (let i = rows.rowCount - 1; i >= 0; i--)
    if (rows.fates.used(i)) found.set(String(values[wholeAt(codes, i)]), i);
  return found;
}

/** Dates must rise from occasion to occasion and end when the person leaves. ISO text sorts as time. */
function checkDates(trials: Trials, rows: Int32Array, left: string | null, log: IssueLog): void {
  const column = trials.rows.columns.get("date");
  if (!column) return;
  const dateOf = (row: number) => column.values[wholeAt(column.codes, row)];
  const say = (row: number, code: "dates-out-of-order" | "after-withdrawal", expected: string) => {
    const where = { ...rowPlace(trials.rows, row), column: "date" };
    log.add({ ...where, code, value: String(dateOf(row)), expected });
  };
  let latest = "";
  for (const visit of runsBy(rows, (row) => wholeAt(trials.occasion, row))) {
    let first = -1;
    let last = latest;
    for (const row of visit) {
      const date = dateOf(row);
      if (typeof date !== "string") continue;
      if (first < 0 || date < String(dateOf(first))) first = row;
      if (date > last) last = date;
      if (left !== null && date > left) say(row, "after-withdrawal", left);
    }
    if (first >= 0 && latest !== "" && String(dateOf(first)) <= latest)
      say(first, "dates-out-of-order", latest);
    latest = last;
  }
}

interface Hands {
  readonly one: Visits;
  readonly rows: Int32Array;
  readonly scratch: Scratch;
}

/** Asks when the stronger hand of one occasion is clearly the weaker one of the next. */
function checkSides(
  { one: { trials }, rows, scratch }: Hands,
  design: StudyDesign,
  log: IssueLog,
): void {
  let before: { share: number; occasion: number } | null = null;
  for (const visit of runsBy(rows, (row) => wholeAt(trials.occasion, row))) {
    const share = leadShare(trials, visit, scratch);
    if (share === 0) continue;
    const occasion = wholeAt(trials.occasion, wholeAt(visit, 0));
    if (before && Math.sign(before.share) !== Math.sign(share)) {
      const name = (place: number) => itemAt(design.occasions, place).id;
      log.add({
        ...rowPlace(trials.rows, wholeAt(visit, 0)),
        column: "hand",
        code: "side-doubt",
        value: `At ${name(occasion)} the lead hand is ${percent(share)} the trail hand`,
        expected: `as at ${name(before.occasion)}, ${percent(before.share)} it`,
      });
    }
    before = { share, occasion };
  }
}

function percent(share: number): string {
  return `${Math.abs(100 * share).toFixed(0)} % ${share > 0 ? "above" : "below"}`;
}

/** How far lead is above trail, as a share of trail, from the medians of one visit; 0 when unclear. */
function leadShare({ hand, canonical }: Trials, visit: Int32Array, scratch: Scratch): number {
  const of = (wanted: number) => {
    let count = 0;
    for (const row of visit) if (hand[row] === wanted) scratch[count++] = realAt(canonical, row);
    return medianInPlace(scratch, count);
  };
  const [lead, trail] = [of(0), of(1)];
  const clear = Math.abs(lead - trail) >= Math.max(turned.kgf, turned.share * trail);
  return clear && trail > 0 ? lead / trail - 1 : 0;
}

/** Asks when one file names hands both by side and by their place on the club. */
export function checkHandWords({ rows, kind }: Trials, log: IssueLog): void {
  const column = rows.columns.get("hand");
  if (!kind.handed || !column) return;
  const bySide = column.values.map((value) => value === "left" || value === "right");
  const byClub = column.values.map((value) => value === "lead" || value === "trail");
  const firstOf = (wanted: readonly boolean[]) =>
    column.codes.findIndex((code) => itemAt(wanted, code));
  const [side, club] = [firstOf(bySide), firstOf(byClub)];
  if (side < 0 || club < 0) return;
  const where = rowPlace(rows, Math.max(side, club));
  const value = `Hands are named by ${side > club ? "side" : "their place on the club"} from here`;
  const expected = `${side > club ? "lead or trail" : "left or right"}, as above`;
  log.add({ ...where, column: "hand", code: "side-doubt", value, expected });
}

/** Dates after today, in any file; today is given, for nothing here looks at a clock. */
export function checkFuture(files: readonly Rows[], today: string, log: IssueLog): void {
  for (const rows of files) {
    for (const { field, codes, values } of rows.columns.values()) {
      if (field.type !== "date") continue;
      const future = values.map((value) => typeof value === "string" && value > today);
      if (!future.includes(true)) continue;
      for (let i = 0; i < rows.rowCount; i++) {
        if (!future[wholeAt(codes, i)]) continue;
        const value = String(values[wholeAt(codes, i)]);
        log.add({
          ...rowPlace(rows, i),
          column: field.name,
          code: "date-in-future",
          value,
        });
      }
    }
  }
}

/** A plan that names another summary rule for some occasions is an error before any data are read. */
export function checkRules({ summaries }: StudyPlan, file: string, log: IssueLog): void {
  for (const [name, rule] of Object.entries(summaries)) {
    if (typeof rule === "string" || new Set(Object.values(rule)).size < 2) continue;
    const value = Object.entries(rule)
      .map(([occasion, id]) => `${occasion}: ${id}`)
      .join(", ");
    log.add({ file, column: `study.plan.summaries.${name}`, code: "rule-changed", value });
  }
}
