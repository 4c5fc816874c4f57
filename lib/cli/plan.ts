import { readFileSync } from "node:fs";
import { join, relative, resolve } from "node:path";
import { InputError } from "../errors.js";
import { outputFolder } from "../report/folder.js";
import { descriptorName } from "../study/files.js";
import { inspectStudy } from "../study/open.js";
import { readDescriptor } from "../study/package/read-descriptor.js";
import { type PlanInput, recordPlan, recordPlanChange } from "../study/plan/plan-record.js";
import { writeAtomically } from "../whole-file.js";
import { rootAbove } from "../workspace/study-root.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { askedPlan } from "./plan-questions.js";
import { namedStudy } from "./study-word.js";

const planKeys = [
  {
    name: "primary",
    what: '{"outcome": "grip", "hand": "lead", "position": "seated", "before": "week-0", "after": "week-6", "contrast": "training − control", "unit": "kgf"}',
  },
  { name: "summaries", what: '{"grip": "mean3", "speed": "mean"}' },
  { name: "level", what: "confidence level: 0.95" },
  { name: "seed", what: "seed of all random numbers: 1" },
  { name: "smallestWorthwhile", what: '{"grip_kgf": 1.5, "speed_mph": 1}' },
  {
    name: "calibration",
    what: '"none", or "correct" to correct readings with the calibration line',
  },
];

export const help: Help = {
  usage: "tautline plan <study> [options]",
  what: "Records the plan of a study in its datapackage.json before testing, or a later change to it.",
  options: [
    { name: "--from <file>", what: "JSON file with the plan; without it a terminal asks" },
    { name: "--on <date>", what: "day of the decision" },
    { name: "--change <text>", what: "what changes, once a plan is recorded" },
    { name: "--why <text>", what: "the reason for the change" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  more: {
    title: "Form of the JSON file; parts that are left out stay as they were",
    rows: planKeys,
  },
  examples: [
    {
      line: "tautline plan spring --from plan.json --on 2025-02-24",
      what: "before the first test",
    },
    {
      line: 'tautline plan spring --on 2025-03-10 --change "Six swings" --why "Hail"',
      what: "a recorded deviation",
    },
  ],
};

/** Records a plan or a change to it; a plan is refused once trials are recorded. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, {
    from: "text",
    on: "text",
    change: "text",
    why: "text",
    json: "flag",
  });
  const folder = namedStudy(words, io.cwd);
  const { from, on, change, why } = options;
  if (on === undefined) throw new UsageError("give the day of the decision with --on");
  if (from === undefined && change === undefined && !io.chosen)
    throw new UsageError("give --from or --change; only a terminal can be asked");
  const path = outputFolder(rootAbove(folder) ?? io.cwd, join(folder, descriptorName));
  const descriptor = readJson(path);
  const shown = relative(io.cwd, path);
  const trialsRecorded = change === undefined ? trialsIn(folder) : 0;
  if (trialsRecorded > 0) {
    // Said before anything is asked: no answer could change it.
    const expected =
      "a plan before any trial is recorded; record a change with its reason instead (--change, --why)";
    throw new InputError({ expected, got: `${trialsRecorded} rows of trials`, where: shown });
  }
  const plan = await planFor({ descriptor, from, change }, io);
  const written =
    change === undefined
      ? recordPlan(descriptor, plan, { decidedOn: on, trialsRecorded })
      : recordPlanChange(descriptor, { on, what: change, why: why ?? "", plan });
  writeAtomically(path, `${JSON.stringify(written, null, 2)}\n`);
  const kind = change === undefined ? "plan" : "planChange";
  if (options.json) io.out(`${JSON.stringify({ kind, on, file: shown })}\n`);
  else io.out(`${kind === "plan" ? "The plan" : "The change"} of ${on} is recorded in ${shown}.\n`);
  return exitCodes.fine;
}

function readJson(path: string): unknown {
  try {
    return readDescriptor(readFileSync(path));
  } catch (error) {
    throw new UsageError(`${path}: ${(error as Error).message}`);
  }
}

/** The plan of a file; asked on a terminal where neither a file nor a change is given. */
async function planFor(
  {
    descriptor,
    from,
    change,
  }: { descriptor: unknown; from?: string | undefined; change?: string | undefined },
  io: Io,
): Promise<PlanInput> {
  if (from !== undefined) return planIn(readJson(resolve(io.cwd, from)), from);
  return change === undefined ? askedPlan(descriptor, io) : {};
}

function planIn(value: unknown, path: string): PlanInput {
  if (typeof value === "object" && value !== null && !Array.isArray(value))
    return value as PlanInput;
  throw new UsageError(`${path} contains no plan`);
}

/** Rows in the trial files, usable or not: somebody has seen them. */
function trialsIn(folder: string): number {
  const { study, account } = inspectStudy(folder);
  if (!study) {
    const where = "tautline plan";
    const expected = "a study whose files can be read (see tautline check)";
    throw new InputError({ expected, got: "one whose check ends with a stop", where });
  }
  const trials = account.filter(({ resource }) => /^(?:grip|swing)-trials$/.test(resource));
  return trials.reduce((sum, { rows }) => sum + rows, 0);
}
