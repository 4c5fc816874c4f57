/** Questions asked of a study, each with every golfer left out, from 26 to 260 golfers. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import {
  doseOf,
  openStudy,
  relate,
  relateInGroups,
  relateWithin,
  reliabilityByPlace,
  reliabilityOf,
  specifications,
} from "tautline";
import { inventStudy, winterBlock } from "tautline/simulate";

const folders = [];

/** The demo study with so many golfers, read from files of its own. */
function studyOf(golfers) {
  const perArm = winterBlock.arms.map((arm) => ({ ...arm, people: golfers / 2 }));
  const { files } = inventStudy({ ...winterBlock, arms: perArm, setAside: undefined });
  const folder = mkdtempSync(join(tmpdir(), "tautline-questions-"));
  folders.push(folder);
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return openStudy(folder);
}

process.on("exit", () => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

// The target of the runner is 2 × linear; the questions are held to 12 times the time of 26 golfers
// for 260, that is 1.2 × linear, in the table's share.
const sizes = [26, 260];
const jobs = {
  "relate, relateInGroups, relateWithin": (study) => {
    const [speed, grip] = [study.outcome("speed"), study.primary];
    relate(speed, grip, { adjustFor: ["sex", "age_years", "mass_kg"] });
    relateInGroups(speed, grip, { by: "sex" });
    return relateWithin(speed, grip).count.n;
  },
  "reliabilityOf, reliabilityByPlace": (study) => {
    reliabilityOf(study.primary, { between: "visits" });
    return reliabilityByPlace(study).count.n;
  },
  doseOf: (study) => doseOf(study.primary.change()).count.n,
  "specifications, 288 × 2 000": (study) => specifications(study.primary.change()).count.n,
};

export default Object.entries(jobs).map(([name, ask]) => ({
  name,
  once: true,
  sizes,
  job: (golfers) => {
    const study = studyOf(golfers);
    return () => ask(study);
  },
}));
