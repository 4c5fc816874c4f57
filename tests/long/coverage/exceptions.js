export const exceptions = [
  {
    function: "fitLine",
    condition: "serial",
    why: "rows that depend on each other count as independent ones: name the golfer in `clusters`",
  },
];
