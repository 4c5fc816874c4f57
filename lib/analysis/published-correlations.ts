import { InputError } from "../errors.js";
import { checkCorrelation, criticalCorrelation } from "../stats/consistency.js";
import { publishedTable } from "../study/package/published.js";
import { column, type ResultTable, resultTable } from "./result-table.js";

/** A published correlation of grip with speed, or a bound of one. */
export interface PublishedCorrelation {
  /** First author, year and outcome. */
  readonly label: string;
  /** Golfers of the study. */
  readonly n: number;
  /** The printed correlation; left out where only its significance was printed. */
  readonly r?: number;
  /** What was printed of it. */
  readonly printed: string;
  /** What predicts: the hand. */
  readonly predictor: string;
  /** Largest size that the printed lack of significance allows. */
  readonly bound?: number;
  /** Age as printed. */
  readonly age: string;
}

type Row = Readonly<Record<string, string | number | null>>;

/**
 * The published correlations of grip dynamometry with the speed of club or ball, or with carry: those
 * with a printed r, and those of which only the significance was printed.
 * @throws InputError when the table cannot be read
 */
export function publishedCorrelations(): {
  /** One per sample, with a printed r. */
  readonly known: readonly PublishedCorrelation[];
  /** Not significant, so that |r| is below a bound; one per sample. */
  readonly unknown: readonly PublishedCorrelation[];
  /** Significant without a printed r; listed, not pooled. */
  readonly significant: readonly PublishedCorrelation[];
  /** Rows of the file. */
  readonly rows: number;
} {
  const { rows } = publishedTable("correlations");
  const grip = rows.filter(
    (row) => /grip/.test(String(row.predictor)) && row.use_for_grip_chs_pool !== "no",
  );
  const known = grip.filter((row) => row.r !== null).map(entryOf);
  const bounded = grip.filter((row) => row.seen === "bound").map(entryOf);
  const isSignificant = ({ printed }: PublishedCorrelation) => /^[<=]/.test(printed);
  if (known.length === 0) {
    const expected = "published correlations of grip";
    throw new InputError({ expected, got: "none", where: "publishedCorrelations" });
  }
  return {
    known,
    unknown: bounded.filter((one) => !isSignificant(one)),
    significant: bounded.filter(isSignificant),
    rows: rows.length,
  };
}

function entryOf(row: Row): PublishedCorrelation {
  const n = Number(row.n);
  return {
    label: `${sourceName(String(row.study), row.year)}, ${outcomeWords(String(row.outcome))}`,
    n,
    ...(row.r !== null && row.r !== undefined && { r: Number(row.r) }),
    printed: String(row.p_printed ?? ""),
    predictor: String(row.predictor),
    ...(row.seen === "bound" && { bound: criticalCorrelation(n) }),
    age: row.age_y === null ? "not reported" : String(row.age_y),
  };
}

/** First author and year, the one form in which a source is named. */
function sourceName(study: string, year: string | number | null | undefined): string {
  const author = study.split(" ")[0] ?? "";
  return year ? `${author} ${year}` : author;
}

function outcomeWords(outcome: string): string {
  return outcome === "CHS" ? "club speed" : outcome;
}

/** p of the published correlations of all measures computed again from r and n, beside the printed p. */
export function consistencyTable(): ResultTable {
  const { rows } = publishedTable("correlations");
  const printed = rows.filter(
    ({ r, n, p_printed: p }) =>
      r !== null && n !== null && /^[<=]*\s*0?\.\d+$/.test(String(p ?? "")),
  );
  return resultTable(
    "Published correlations with p computed again. Where it does not agree, the number of golfers, the side of the test or the outcome is not what is published.",
    [
      column("study", "Study"),
      column("predictor", "Measure"),
      column("r", "r", "", 2),
      column("n", "n", "", 0),
      column("printed", "Published p"),
      column("low", "p computed, lowest"),
      column("high", "highest"),
      column("verdict", "Verdict"),
    ],
    printed.map(({ study, year, predictor, r, n, p_printed: p }) => {
      const check = checkCorrelation({ r: Number(r), n: Number(n), p: String(p) });
      return {
        study: sourceName(String(study), year),
        predictor: String(predictor),
        r: check.r,
        n: check.n,
        printed: String(p),
        low: pWords(check.pTwoSided.low),
        high: pWords(check.pTwoSided.high),
        verdict: check.verdict,
      };
    }),
  );
}

/** A p value beside a printed one: three decimals, or "<0.001" as papers print it. */
function pWords(p: number): string {
  return p < 0.001 ? "<0.001" : p.toFixed(3);
}
