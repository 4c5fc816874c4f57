import { itemAt, wholeAt } from "../../entry.js";
import { descriptorName } from "../files.js";
import type { StudyDesign } from "../package/design.js";
import { counted } from "../tables/visits.js";
import type { IssueLog } from "./issue-log.js";
import { rowPlace } from "./rows.js";
import type { Trials } from "./trials.js";

/** Swings below which a mean is not stable: Villarrasa-Sapiña et al. (2022) Sensors 22:9069. */
const enoughSwings = 7;

/** Counts visits with fewer valid trials than planned, so that they are reported together. */
export class FewTrials {
  private readonly trials: Trials;
  private readonly design: StudyDesign;
  /** For each number of valid trials the first row of each visit that has so few. */
  private readonly found = new Map<number, number[]>();

  constructor(trials: Trials, design: StudyDesign) {
    this.trials = trials;
    this.design = design;
  }

  private get planned(): number {
    const { gripTrials, hands, positions, swings } = this.design;
    if (this.trials.kind.valueName === "speed") return swings;
    return gripTrials * hands.length * Math.max(1, positions.length);
  }

  /** Counts the valid trials of a visit: of grip all, of swings those with each club. */
  count(visit: Int32Array): void {
    for (const rows of this.seriesOf(visit)) {
      const valid = counted(this.trials, rows).length;
      if (valid >= this.planned) continue;
      const visits = this.found.get(valid);
      if (visits) visits.push(wholeAt(rows, 0));
      else this.found.set(valid, [wholeAt(rows, 0)]);
    }
  }

  private seriesOf(visit: Int32Array): Int32Array[] {
    const { kind, place } = this.trials;
    if (kind.valueName === "force") return [visit];
    const clubs = new Set(Array.from(visit, (row) => wholeAt(place, row)));
    return [...clubs].map((club) => visit.filter((row) => place[row] === club));
  }

  private expectedBeside(valid: number): string {
    const unstable =
      this.trials.kind.valueName === "speed" &&
      valid < enoughSwings &&
      this.planned >= enoughSwings;
    const more = unstable ? `; the mean of fewer than ${enoughSwings} is not stable` : "";
    return `${this.planned}${more}`;
  }

  report(log: IssueLog): void {
    const { trials, design } = this;
    const { kind } = trials;
    const code = kind.valueName === "force" ? "trials-few" : "swings-few";
    for (const [valid, visits] of [...this.found].sort(([a], [b]) => a - b)) {
      const one = kind.numberName;
      const where = visits.length === 1 ? "one visit" : `${visits.length} visits`;
      log.add({
        ...rowPlace(trials.rows, itemAt(visits, 0)),
        column: one,
        code,
        value: `${valid} valid ${one}${valid === 1 ? "" : "s"} on ${where}`,
        expected: this.expectedBeside(valid),
        count: visits.length,
      });
    }
    if (kind.valueName === "force" || design.swings >= enoughSwings || trials.rows.rowCount === 0)
      return;
    const expected = `${enoughSwings}`;
    const where = { file: descriptorName, column: "study.swings" };
    log.add({ ...where, code: "swings-planned-few", value: design.swings, expected });
  }
}
