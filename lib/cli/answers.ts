import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { spreadsheetCsv } from "../csv-writing.js";
import { type AnswerLine, answersOf } from "../learn/answers.js";
import { classCode } from "../learn/exercise.js";
import { learnerCode } from "../learn/practice.js";
import { fixedText } from "../show/wording.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";

export const help: Help = {
  usage: "tautline answers [code…] [options]",
  what: "Lists the answers to the lessons' exercises, for a teacher: each student code gives different golfers.",
  options: [
    { name: "--from <file>", what: "text file with one code per line" },
    { name: "--lesson <number>", what: "only the exercises of this lesson" },
    { name: "--csv", what: "as CSV, for a spreadsheet" },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline answers", what: "the golfers of the recorded notebooks" },
    { line: "tautline answers heron plover --lesson 1", what: "two students, first lesson" },
    { line: "tautline answers --from codes.txt --csv", what: "all students, for a spreadsheet" },
  ],
};

const columns = ["learner", "lesson", "exercise", "asks", "answer", "unit"] as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, {
    from: "text",
    lesson: "whole",
    csv: "flag",
    json: "flag",
  });
  const codes = [...words, ...(options.from ? codesIn(options.from, io.cwd) : [])];
  const once = new Set((codes.length ? codes : [classCode]).map(learnerCode));
  const lines = [...once].flatMap(answersOf);
  const kept = lines.filter(
    ({ lesson }) => options.lesson === undefined || lesson.startsWith(`${options.lesson} `),
  );
  if (kept.length === 0) throw new UsageError(`there is no lesson ${options.lesson}`);
  if (options.json) io.out(`${JSON.stringify({ answers: kept }, null, 2)}\n`);
  else if (options.csv) io.out(spreadsheetCsv([...columns], kept.map(csvRow)));
  else io.out(answersText(kept));
  return exitCodes.fine;
}

function codesIn(file: string, cwd: string): string[] {
  let text: string;
  try {
    text = readFileSync(resolve(cwd, file), "utf8");
  } catch (error) {
    throw new UsageError(`${file}: ${(error as Error).message}`);
  }
  const codes = text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter(Boolean);
  if (codes.length === 0) throw new UsageError(`${file} contains no code`);
  return codes;
}

function written({ answer, digits }: AnswerLine): string {
  return fixedText(answer, digits);
}

function csvRow({ digits, answer, ...line }: AnswerLine) {
  return { ...line, answer: answer.toFixed(digits) };
}

/** A paragraph for each student and lesson, an exercise a line. */
function answersText(lines: readonly AnswerLine[]): string {
  const widest = Math.max(...lines.map(({ asks }) => asks.length));
  let heading = "";
  return lines
    .map((line) => {
      const lessonHeading = `${line.learner}, lesson ${line.lesson}`;
      const head = lessonHeading === heading ? "" : `${heading ? "\n" : ""}${lessonHeading}\n`;
      heading = lessonHeading;
      return `${head}  ${line.asks.padEnd(widest)}  ${written(line)} ${line.unit}`.trimEnd();
    })
    .join("\n")
    .concat("\n");
}
