import { InputError } from "../errors.js";
import { nearestName } from "../options.js";
import { RequestError } from "../workspace/request-error.js";
import { UsageError } from "./arguments.js";
import { commandHelp, programHelp } from "./help.js";
import { type Command, exitCodes, type Io } from "./io.js";
import { terminalQuestions } from "./terminal-questions.js";

interface Entry {
  readonly what: string;
  /** Commands are loaded when they are called, so that a short one starts at once. */
  readonly load: () => Promise<Command>;
}

/** The commands of the program, in the order of the help. */
export const commands: Readonly<Record<string, Entry>> = {
  rebuild: {
    what: "run the notebooks that changed, record their outputs, make the report",
    load: () => import("./rebuild.js"),
  },
  verify: {
    what: "run the notebooks again and compare every result with the record; writes nothing",
    load: () => import("./verify.js"),
  },
  watch: {
    what: "rebuild on every save and reload the report in the browser",
    load: () => import("./watch.js"),
  },
  history: {
    what: "a finding's value at each recorded version of its notebook",
    load: () => import("./history.js"),
  },
  kernel: {
    what: "register the kernel with Jupyter, or remove it",
    load: () => import("./kernel.js"),
  },
  answers: {
    what: "list the answers to the lessons' exercises, by student code",
    load: () => import("./answers.js"),
  },
  marks: {
    what: "mark the exercises that students handed in",
    load: () => import("./marks.js"),
  },
  new: {
    what: "make an empty study: datapackage.json, CSV files and its notebooks",
    load: () => import("./new.js"),
  },
  plan: {
    what: "record the plan of a study before testing, or a later change to it",
    load: () => import("./plan.js"),
  },
  sheets: {
    what: "write recording sheets in a balanced random order, to print or to fill in",
    load: () => import("./sheets.js"),
  },
  form: {
    what: "write a recording form for the tablet, or the golfer's training diary",
    load: () => import("./form.js"),
  },
  check: {
    what: "check the raw files of a study: what was read, what is wrong, what to do",
    load: () => import("./check.js"),
  },
  map: {
    what: "propose how a lab's own files are read: columns, units, dates, codes",
    load: () => import("./map.js"),
  },
  report: {
    what: "make the report from the recorded notebooks; --one-file makes a single page to send",
    load: () => import("./report.js"),
  },
  figures: {
    what: "write every figure as SVG, PNG and CSV for print",
    load: () => import("./figures.js"),
  },
  tables: {
    what: "write every table as CSV and workbook",
    load: () => import("./tables.js"),
  },
  handouts: {
    what: "write a page with each golfer's results, and one for the coach",
    load: () => import("./handouts.js"),
  },
  manuscript: {
    what: "write a manuscript from the record: Word document, Markdown, figures",
    load: () => import("./manuscript.js"),
  },
  archive: {
    what: "make one zip file of a study to deposit, run again and check",
    load: () => import("./archive.js"),
  },
};

/** Runs the program with these words and returns its exit code. */
export async function main(args: readonly string[], io: Io): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "help") {
    io.out(programHelp(commands));
    return name === undefined ? exitCodes.wrongUse : exitCodes.fine;
  }
  const entry = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!entry) {
    const near = nearestName(name, Object.keys(commands));
    const hint = near ? `; did you mean ${near}?` : ".";
    io.err(`tautline: unknown command ${JSON.stringify(name)}${hint} See tautline --help.\n`);
    return exitCodes.wrongUse;
  }
  try {
    const command = await entry.load();
    if (rest.includes("--help") && command.help) {
      io.out(commandHelp(command.help));
      return exitCodes.fine;
    }
    return await command.run(rest, io);
  } catch (error) {
    return explained(error, name, io);
  }
}

/** A message with its full stop, unless it ends as a question. */
function sentence(message: string): string {
  return /[.?!]$/.test(message) ? message : `${message}.`;
}

/** Errors that a person can act on are shown as a message; any other error is a fault of the program. */
function explained(error: unknown, name: string, io: Io): number {
  if (error instanceof UsageError || error instanceof RequestError) {
    io.err(`tautline ${name}: ${sentence(error.message)} See tautline ${name} --help.\n`);
    return exitCodes.wrongUse;
  }
  if (error instanceof InputError) {
    io.err(`tautline ${name}: ${error.message}\n`);
    return exitCodes.differences;
  }
  if (error instanceof Error && (error.name === "NotebookFailure" || "syscall" in error)) {
    io.err(`tautline ${name}: ${error.message}\n`);
    return exitCodes.failed;
  }
  throw error;
}

/** The terminal that the program was started in. */
export function terminal(): Io {
  const asksPerson = process.stdin.isTTY && process.stderr.isTTY;
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    cwd: process.cwd(),
    ...(asksPerson ? terminalQuestions(process.stdin, process.stderr) : {}),
    isTerminal: process.stderr.isTTY === true,
    columns: process.stderr.columns,
    colour: process.stdout.isTTY === true && !process.env.NO_COLOR,
  };
}
