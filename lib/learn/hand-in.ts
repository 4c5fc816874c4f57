import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { frozen } from "../stats/estimate.js";
import { taskId, taskIds } from "./answers.js";
import { exerciseVersion, learnerCode } from "./practice.js";

/** What a student did with one exercise. */
export interface Work {
  /** Id of the exercise. */
  readonly exercise: string;
  /** The last answer, as it was typed. */
  readonly answer: string;
  /** Different wrong answers before it was right, or until now. */
  readonly tries: number;
  /** Wrong answers in their order, as they were typed. */
  readonly wrong: readonly string[];
}

/** A student's work in a lesson, as it is handed in. */
export interface HandedIn {
  /** Name of this record. */
  readonly kind: "handedIn";
  /** Code of the student. */
  readonly code: string;
  /** Version of the exercises. */
  readonly version: string;
  /** Minutes with a lesson's page open. */
  readonly minutes: number;
  /** Exercises that were worked on, in the order of the lessons. */
  readonly work: readonly Work[];
  /** Sum over all of the above: it shows a change made by mistake, not one made on purpose. */
  readonly checksum: string;
}

const heading = "Tautline exercises";

/**
 * A student's work as a short text: code, version, minutes, a line for each exercise, and a
 * checksum. `readHandedIn` reads it.
 * @param given code, minutes and work
 * @throws InputError for an unknown exercise or an empty code
 * @example handedIn({ code: "heron", minutes: 18, work: [] }).split("\n")[1] // "code: heron"
 */
export function handedIn(given: Pick<HandedIn, "code" | "minutes" | "work">): string {
  knownOptions(given, ["code", "minutes", "work"], "handedIn");
  const body = bodyOf({ ...given, version: exerciseVersion });
  return `${body}\nchecksum: ${checksumOf(body)}\n`;
}

function bodyOf({ code, version, minutes, work }: Omit<HandedIn, "kind" | "checksum">): string {
  const order = (one: Work) => taskIds.indexOf(taskId(one.exercise));
  const lines = [...work]
    .sort((a, b) => order(a) - order(b))
    .map(({ exercise, answer, tries, wrong }) =>
      JSON.stringify({ exercise, answer, tries, wrong }),
    );
  return [
    heading,
    `code: ${learnerCode(code)}`,
    `version: ${version}`,
    `minutes: ${Math.max(0, Math.round(minutes))}`,
    ...lines,
  ].join("\n");
}

/** FNV-1a over the UTF-8 bytes, 32 bits, in hexadecimal. */
function checksumOf(text: string): string {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) {
    hash = Math.imul(hash ^ byte, 0x01000193) >>> 0;
  }
  return hash.toString(16).padStart(8, "0");
}

/** What was read from a text that a student handed in. */
export interface ReadHandedIn extends HandedIn {
  /** False when the text is not as the page wrote it. */
  readonly whole: boolean;
}

/**
 * Reads a text that `handedIn` made. Line ends and spaces at the ends may have changed on the way.
 * @throws InputError when the text is none, or a line cannot be read
 * @see Fowler, Noll, Vo: FNV-1a, for the checksum
 * @example readHandedIn(handedIn({ code: "heron", minutes: 18, work: [] })).whole // true
 */
export function readHandedIn(text: string): ReadHandedIn {
  const lines = text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== "");
  const start = lines.indexOf(heading);
  if (start < 0) throw unread(`a text that begins with "${heading}"`, lines[0] ?? "nothing", 1);
  const [, ...rest] = lines.slice(start);
  const field = (name: string) => {
    const found = rest.find((line) => line.startsWith(`${name}: `));
    if (found === undefined) throw unread(`a line "${name}: …"`, "none", start + 1);
    return found.slice(name.length + 2);
  };
  const checksum = field("checksum");
  const work = rest.flatMap((line, i) =>
    line.startsWith("{") ? [workIn(line, start + i + 2)] : [],
  );
  const given = {
    code: field("code"),
    version: field("version"),
    minutes: Number(field("minutes")),
    work,
  };
  const whole = checksumOf(bodyOf(given)) === checksum;
  return frozen({ kind: "handedIn", ...given, checksum, whole });
}

function workIn(line: string, number: number): Work {
  let read: unknown;
  try {
    read = JSON.parse(line);
  } catch {
    throw unread("a line that can be read", line.slice(0, 60), number);
  }
  const { exercise, answer, tries, wrong } = read as Partial<Work>;
  const sound =
    typeof exercise === "string" &&
    typeof answer === "string" &&
    typeof tries === "number" &&
    Number.isInteger(tries) &&
    Array.isArray(wrong) &&
    wrong.every((one) => typeof one === "string");
  if (!sound) throw unread("exercise, answer, tries and wrong answers", line.slice(0, 60), number);
  taskId(exercise);
  return { exercise, answer, tries, wrong };
}

function unread(expected: string, got: string, line: number): InputError {
  return new InputError({ expected, got: JSON.stringify(got), where: `handed in, line ${line}` });
}
