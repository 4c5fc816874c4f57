import { frozen } from "../stats/estimate.js";
import { respond, taskId, taskIds, wordsFor } from "./answers.js";
import type { ReadHandedIn } from "./hand-in.js";
import { exerciseVersion } from "./practice.js";

/** One exercise of one student. */
export interface StudentMark {
  /** Code of the student. */
  readonly code: string;
  /** Id of the exercise. */
  readonly exercise: string;
  /** What is asked, in a few words. */
  readonly asks: string;
  /** The last answer, as it was typed; "" where there is none. */
  readonly answer: string;
  /** Whether the last answer is right, checked anew on the student's golfers. */
  readonly right: boolean;
  /** Wrong answers. */
  readonly tries: number;
  /** Minutes that the student's text states; the same for all its exercises. */
  readonly minutes: number;
  /** Kind of the first wrong answer whose mistake is known; "" where there is none. */
  readonly slip: string;
}

/** The marks of a class. */
export interface Marks {
  /** Name of this record. */
  readonly kind: "marksOf";
  /** A mark for each student and exercise. */
  readonly marks: readonly StudentMark[];
  /** For each exercise how many students worked on it, how many are right (each code once), wrong tries, and the commonest mistake. */
  readonly exercises: readonly {
    readonly exercise: string;
    readonly asks: string;
    readonly students: number;
    readonly right: number;
    readonly tries: number;
    readonly slip: string;
  }[];
  /** What a teacher must know: checksums and versions that do not fit, codes handed in twice. */
  readonly warnings: readonly string[];
}

/**
 * Marks of a class, from the texts that students handed in. Each answer is checked again on the
 * golfers of the student's code, whatever the text says.
 * @param texts what was read from the files
 * @example marksOf([]).exercises.length // 15
 */
export function marksOf(texts: readonly ReadHandedIn[]): Marks {
  const marks = texts.flatMap((text) => taskIds.map((id) => markOf(text, id)));
  const exercises = taskIds.map((id) => {
    const of = marks.filter(({ exercise, answer }) => exercise === id && answer !== "");
    return {
      exercise: id,
      asks: wordsFor(id, "en").asks,
      students: codesIn(of),
      right: codesIn(of.filter(({ right }) => right)),
      tries: of.reduce((sum, { tries }) => sum + tries, 0),
      slip: commonest(of.map(({ slip }) => slip).filter((slip) => slip !== "")),
    };
  });
  return frozen({ kind: "marksOf", marks, exercises, warnings: warningsOf(texts) });
}

/** Students, not texts: who handed in twice counts once. */
function codesIn(marks: readonly StudentMark[]): number {
  return new Set(marks.map(({ code }) => code)).size;
}

function markOf({ code, minutes, work }: ReadHandedIn, id: string): StudentMark {
  const done = work.find(({ exercise }) => exercise === id);
  const { asks } = wordsFor(taskId(id), "en");
  if (!done)
    return { code, exercise: id, asks, answer: "", right: false, tries: 0, minutes, slip: "" };
  const judged = (answer: string) => respond(id, code, answer, { wrongBefore: 0, language: "en" });
  const slips = done.wrong.map((answer) => judged(answer).slip ?? "");
  return {
    code,
    exercise: id,
    asks,
    answer: done.answer,
    right: judged(done.answer).verdict === "right",
    tries: done.tries,
    minutes,
    slip: slips.find((slip) => slip !== "") ?? "",
  };
}

/** The text that occurs most often; the first of several. */
function commonest(texts: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  let best = "";
  for (const [text, count] of counts) if (count > (counts.get(best) ?? 0)) best = text;
  return best;
}

function warningsOf(texts: readonly ReadHandedIn[]): string[] {
  const codes = texts.map(({ code }) => code);
  const twice = [...new Set(codes.filter((code, i) => codes.indexOf(code) !== i))];
  return [
    ...texts
      .filter(({ whole }) => !whole)
      .map(({ code }) => `${code}: the checksum does not fit; the text was changed.`),
    ...texts
      .filter(({ version }) => version !== exerciseVersion)
      .map(
        ({ code, version }) =>
          `${code}: handed in with version ${version} of the exercises; this is version ${exerciseVersion}, and golfers may differ.`,
      ),
    ...twice.map((code) => `${code}: handed in more than once; each text is marked.`),
  ];
}
