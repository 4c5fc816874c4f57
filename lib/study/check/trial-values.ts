import { present, realAt, wholeAt } from "../../entry.js";
import { convert } from "../../units/convert.js";
import { readUnit, type UnitSymbol } from "../../units/unit.js";
import type { IssueLog } from "./issue-log.js";
import { type ReadColumn, type Rows, rowPlace } from "./rows.js";
import { StrangeValues } from "./strange-values.js";
import type { TrialKind } from "./trial-kinds.js";

/** Units of a column by level; undefined where the text is no unit of the quantity. */
function unitsOf(column: ReadColumn, quantity: "force" | "speed"): (UnitSymbol | undefined)[] {
  return column.values.map((text) => {
    if (typeof text !== "string") return undefined;
    try {
      return readUnit(text, { quantity }).symbol;
    } catch {
      return undefined;
    }
  });
}

const unitsExpected = { force: "kgf, N, lbf", speed: "m/s, mph, km/h" } as const;

/** Converts every row by its own unit; each pair of value and unit is converted once. */
export function canonicalValues(rows: Rows, kind: TrialKind, log: IssueLog): Float64Array {
  const value = present(rows.columns.get(kind.valueName));
  const unit = present(rows.columns.get("unit"));
  const symbols = unitsOf(unit, kind.valueName);
  sayMixedUnits(rows, symbols, log);
  const memo = symbols.map((symbol) => {
    return symbol === undefined ? null : new Float64Array(value.values.length).fill(Number.NaN);
  });
  const canonical = new Float64Array(rows.rowCount).fill(Number.NaN);
  const unknown = new StrangeValues(rows, unit);
  for (let i = 0; i < canonical.length; i++) {
    const unitCode = wholeAt(unit.codes, i);
    const known = memo[unitCode];
    if (!known) {
      if (unit.values[unitCode] !== null && rows.fates.of(i)?.by !== "mapping") {
        unknown.count(i);
        rows.fates.leaveOut(i, "unit unknown", "error");
      }
      continue;
    }
    const level = wholeAt(value.codes, i);
    const raw = value.values[level];
    if (typeof raw !== "number") continue;
    if (Number.isNaN(realAt(known, level)))
      known[level] = convert(raw, present(symbols[unitCode]), kind.unit);
    canonical[i] = realAt(known, level);
  }
  const expected = unitsExpected[kind.valueName];
  unknown.report({ code: "unit-unknown", known: expected.split(", "), expected }, log);
  return canonical;
}

function sayMixedUnits(
  rows: Rows,
  symbols: readonly (UnitSymbol | undefined)[],
  log: IssueLog,
): void {
  const counts = new Map<UnitSymbol, number>();
  const { codes } = present(rows.columns.get("unit"));
  const byLevel = new Int32Array(symbols.length);
  for (let i = 0; i < codes.length; i++)
    byLevel[wholeAt(codes, i)] = wholeAt(byLevel, wholeAt(codes, i)) + 1;
  for (const [level, symbol] of symbols.entries())
    if (symbol) counts.set(symbol, (counts.get(symbol) ?? 0) + wholeAt(byLevel, level));
  if (counts.size < 2) return;
  const value = [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([symbol, count], i) => {
      const said = `${count} ${count === 1 ? "row" : "rows"} in ${symbol}`;
      return i === 0 ? said : `${said} (the first: ${firstRowOf(rows, symbols, symbol)})`;
    })
    .join(", ");
  log.add({ file: rows.file, column: "unit", code: "unit-mixed", value });
}

/** Where the first row of a unit stands, so that a switched display is found. */
function firstRowOf(
  rows: Rows,
  symbols: readonly (UnitSymbol | undefined)[],
  symbol: UnitSymbol,
): string {
  const { codes } = present(rows.columns.get("unit"));
  const { file, row } = rowPlace(
    rows,
    codes.findIndex((code) => symbols[code] === symbol),
  );
  return rows.parts.length === 1 ? `row ${row}` : `${file}, row ${row}`;
}
