export const exceptions = [
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
