import { openStudy, summariseGrip } from "tautline";
import { bigStudy } from "../big-study.js";
import { python } from "../peers.js";

const sizes = [100_000, 300_000, 1_000_000];
const studies = new Map(sizes.map((rows) => [rows, bigStudy(rows)]));
process.on("exit", () => {
  for (const { clear } of studies.values()) clear();
});

/** Reads, checks and summarises; the number of summaries shows that nothing was skipped. */
function summaries(rows) {
  const study = openStudy(studies.get(rows).folder);
  const used = study.account.find(({ resource }) => resource === "grip-trials").used;
  if (used !== rows) throw new Error(`${used} of ${rows} rows used`);
  return summariseGrip(study, { rule: "mean3" }).totalRows();
}

export default [
  {
    name: "a million grip trials: read, check, summarise (pandas: read only)",
    ours: () => summaries(1_000_000),
    peers: [
      {
        name: "pandas",
        atMost: 2,
        by: python({
          needs: ["pandas"],
          code: `
import pandas
def run():
    return len(pandas.read_csv(${JSON.stringify(studies.get(1_000_000).trials)}))
`,
        }),
      },
    ],
  },
  { name: "read, check, summarise", sizes, job: (rows) => () => summaries(rows) },
];
