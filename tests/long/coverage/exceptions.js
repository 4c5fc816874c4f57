export const exceptions = [
  {
    function: "adjustForBaseline",
    what: "difference, HC3",
    condition: "skewed",
    n: [9],
    why: "HC3 errors of nine golfers are cautious: the interval is wider than it need be",
  },
  {
    function: "adjustForBaseline",
    what: "difference",
    condition: "unequal spread",
    n: [9],
    why: "one spread is assumed for both arms: with nine golfers take HC3 errors, which hold their 95 %",
  },
  {
    function: "fitLine",
    what: "slope, ordinary",
    condition: "unequal spread",
    n: [9],
    why: "one spread is assumed along the line: with nine rows read the HC3 errors beside it",
  },
  {
    function: "fitLine",
    condition: "serial",
    why: "rows that depend on each other count as independent ones: name the golfer in `clusters`",
  },
  {
    function: "fitVisits",
    condition: "missing at random",
    n: [9, 12],
    why: "an unstructured covariance of three visits from four to six golfers per arm, of whom some left; a compound covariance holds its 95 %",
  },
];

/** Whether a row is one of the conditions listed by name as not holding. */
export function isListed(row) {
  return exceptions.some((one) => names(one, row));
}

/** Whether an exception speaks of a row. */
export function names(one, row) {
  return (
    one.function === row.function &&
    one.condition === row.condition &&
    (one.what === undefined || one.what === row.what) &&
    (one.n === undefined || one.n.includes(row.n))
  );
}
