import { openStudy, summariseGrip } from "tautline";
import { bigStudy } from "../big-study.js";
import { python } from "../peers.js";

const sizes = [100_000, 300_000, 1_000_000];
const studies = new Map(sizes.map((rows) => [rows, bigStudy(rows)]));
const manyFiles = bigStudy(1_000_000, { files: 50 });
process.on("exit", () => {
  for (const { clear } of [...studies.values(), manyFiles]) clear();
});

/** Reads, checks and summarises; the number of summaries shows that nothing was skipped. */
function summaries(rows, { folder } = studies.get(rows)) {
  const study = openStudy(folder);
  const used = study.account
    .filter(({ resource }) => resource === "grip-trials")
    .reduce((sum, file) => sum + file.used, 0);
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
    return len(pandas.read_csv(${JSON.stringify(studies.get(1_000_000).trials[0])}))
`,
        }),
      },
    ],
  },
  {
    name: "a million grip trials in 50 files: read, check, summarise (pandas: read only)",
    ours: () => summaries(1_000_000, manyFiles),
    peers: [
      {
        name: "pandas",
        atMost: 1,
        by: python({
          needs: ["pandas"],
          code: `
import pandas
def run():
    return len(pandas.concat([pandas.read_csv(path) for path in ${JSON.stringify(manyFiles.trials)}]))
`,
        }),
      },
    ],
  },
  { name: "read, check, summarise", sizes, job: (rows) => () => summaries(rows) },
];
