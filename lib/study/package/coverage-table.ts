import { frozen } from "../../stats/estimate.js";
import { publishedTable } from "./published.js";

/** Conditions in the order of the columns, each with the words of its heading. */
const conditions = {
  normal: "Normal errors",
  t5: "Heavy tails (t, 5 df)",
  skewed: "Skewed (exponential)",
  "unequal spread": "Unequal spread",
  serial: "Serial errors (0.6)",
  "missing at random": "Missing at random",
} as const;

/** One method at one sample size, with a share in percent for each condition. */
export interface CoverageLine {
  /** What was simulated: function, quantity and number of people or studies. */
  readonly [column: string]: string | number | null;
}

/** How often intervals include the true value, as a table that a cell can show. */
export interface CoverageTable {
  /** Name of the function that made this record. */
  readonly kind: "coverageTable";
  /** One line per method and sample size. */
  readonly rows: readonly CoverageLine[];
  /** Method, quantity, n, what is nominal, and a column per condition. */
  readonly columns: readonly { readonly name: string; readonly label: string }[];
  /** A sentence that stands above the table. */
  readonly caption: string;
}

/**
 * Coverage of 95 % intervals and type I error of tests at 5 %, simulated for this library: one line
 * per method and sample size, one column per condition. A cell reads "94.8 ± 0.3": percent, and one
 * Monte-Carlo standard error. An empty cell was not simulated.
 *
 * @returns rows, columns and caption, as `table` takes them beside an id
 * @see data/published/coverage.csv, the same numbers one per row
 * @example coverageTable().columns.length // 10
 */
export function coverageTable(): CoverageTable {
  const lines = new Map<string, Record<string, string | number | null>>();
  for (const row of publishedTable("coverage").rows) {
    const key = `${row.function} | ${row.what} | ${row.kind} | ${row.n}`;
    let line = lines.get(key);
    if (!line) {
      const nominal = `${100 * Number(row.nominal)} %`;
      const { function: name = null, what = null, kind = null, n = null } = row;
      line = { function: name, what, n, nominal: `${kind}, ${nominal}` };
      for (const condition of Object.keys(conditions)) line[condition] = "";
      lines.set(key, line);
    }
    const { share, mcError } = row;
    if (typeof share !== "number" || typeof mcError !== "number") continue;
    line[String(row.condition)] = `${(100 * share).toFixed(1)} ± ${(100 * mcError).toFixed(1)}`;
  }
  return frozen({
    kind: "coverageTable" as const,
    rows: [...lines.values()],
    columns: [
      { name: "function", label: "Function" },
      { name: "what", label: "Interval or test" },
      { name: "n", label: "n" },
      { name: "nominal", label: "Nominal" },
      ...Object.entries(conditions).map(([name, label]) => ({ name, label: `${label}, %` })),
    ],
    caption:
      "Simulated coverage of 95 % intervals and type I error of tests at 5 %, in percent ± one Monte-Carlo standard error.",
  });
}
