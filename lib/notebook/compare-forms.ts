import { compareData } from "./compare-data.js";
import { compareTexts, type TextAllowance, withDrawingsDecoded } from "./compare-text.js";
import type { Judged } from "./judgement.js";
import type { Form, Result } from "./results.js";

/** What a comparison of two notebooks includes. */
export interface CompareOptions {
  /** Forms that the re-run does not make, such as the drawings in a page; they are not judged. */
  readonly without?: readonly Form[];
  /**
   * What the second notebook is: a re-run of the first, or the first with every form made again from
   * its data. Messages say so.
   */
  readonly second?: "the re-run" | "its data";
  /** Compares results by their data and texts alone, wherever they stand: two revisions of a notebook. */
  readonly dataOnly?: boolean;
}

type Json = Record<string, unknown>;

/** The judgement of the data, lowered by the first form that a reader would see differ. */
export function withForms(
  judged: Judged,
  before: Result,
  after: Result,
  { without = [], second = "the re-run" }: CompareOptions,
): Judged {
  const moved = judged.verdict === "within tolerance";
  const tolerance = moved ? (judged.tolerance ?? 0) : undefined;
  const left = withoutDrawn(without, before, after);
  const texts = textsOf(before, left);
  const again = textsOf(after, left);
  let largest = judged.largest ?? 0;
  for (const form of new Set([...texts.keys(), ...again.keys()])) {
    const [one, two] = [texts.get(form), again.get(form)];
    if (one === undefined || two === undefined) {
      const what = one === undefined ? "is not in the record" : `is not in ${second}`;
      return { ...judged, verdict: "different", form, difference: `its ${form} ${what}` };
    }
    const { reads, largest: most } = compareTexts(one, two, allowanceOf(form, tolerance));
    if (reads) {
      const difference = readsText(`its ${form}`, reads, second);
      return { ...judged, verdict: "different", form, difference };
    }
    largest = Math.max(largest, most);
  }
  const chart = judgeChart(before, after, without);
  if (chart) return { ...judged, ...chart };
  if (judged.verdict === "same" && largest > 0) {
    return { ...judged, verdict: "within tolerance", largest };
  }
  return judged;
}

/**
 * The markup of a figure holds its drawing: where one side has none, their markup is not compared. A
 * record that a front end saved has no drawings; a drawing of the record must come again.
 */
function withoutDrawn(without: readonly Form[], before: Result, after: Result): readonly Form[] {
  const isDrawn = (result: Result) => result.forms.has("drawing");
  if (isDrawn(before) === isDrawn(after)) return without;
  if (!isDrawn(before)) return [...without, "drawing", "HTML"];
  return without.includes("drawing") ? [...without, "HTML"] : without;
}

type TextForm = Form | "sentence";

/** The forms of a result that are texts; drawings inside markup are compared as drawings. */
function textsOf(result: Result, without: readonly Form[]): Map<TextForm, string> {
  const texts = new Map<TextForm, string>();
  const { sentence } = result.content as Json;
  if (typeof sentence === "string") texts.set("sentence", sentence);
  for (const [form, content] of result.forms) {
    if (without.includes(form) || typeof content !== "string") continue;
    texts.set(form, form === "HTML" ? withDrawingsDecoded(content) : content);
  }
  return texts;
}

/** Where a drawing's points may lie after rounding: less than a reader can see. */
const coordinates = 0.02;

function allowanceOf(form: TextForm, tolerance: number | undefined): TextAllowance {
  return form === "drawing" || form === "HTML" ? { tolerance, coordinates } : { tolerance };
}

function judgeChart(before: Result, after: Result, without: readonly Form[]): Judged | undefined {
  if (without.includes("chart")) return undefined;
  const [one, two] = [before.forms.get("chart"), after.forms.get("chart")];
  const { verdict, difference } = compareData(one ?? null, two ?? null);
  if (verdict !== "different") return undefined;
  return { verdict, form: "chart", difference: `its chart: ${difference}` };
}

/** A clause with both texts around their first difference. */
export function readsText(
  what: string,
  [before, after]: readonly [string, string],
  second: NonNullable<CompareOptions["second"]>,
): string {
  if (second === "its data") return `${what} reads “${before}”, its data “${after}”`;
  return `${what} reads “${before}” in the record, “${after}” in ${second}`;
}
