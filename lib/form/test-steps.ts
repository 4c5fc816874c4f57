import { lowerFirst } from "../first-letter.js";
import { recordingSheets, sideOf } from "../study/plan/sheets.js";
import type { FormContent, FormRow } from "./form-content.js";
import type { StandingRow } from "./journal.js";

/** A trial that is to be done, with the words that a tester reads. */
export interface TestTask {
  /** File to which its row belongs. */
  readonly file: "grip-trials" | "swing-trials";
  /** The columns that are known before the trial. */
  readonly row: FormRow;
  /** What is done, such as "Lead hand (left), at address". */
  readonly title: string;
  /** Which one of how many, such as "Trial 2 of 3". */
  readonly count: string;
  /** How the golfer stands and holds the dynamometer; "" where the design does not say. */
  readonly how: string;
  /** Lead or trail for a squeeze; "" for a swing. */
  readonly handRole: "lead" | "trail" | "";
}

/** The trials of one golfer at one visit, in the balanced order of the recording sheets. */
export function tasksOf(content: FormContent, participant: string, occasion: string): TestTask[] {
  const { design, people, seed } = content;
  const sheets = recordingSheets(people, { occasion, design, seed });
  const positions = new Map(design.positions.map((position) => [position.id, position]));
  const squeezes = sheets.grip
    .filter((task) => task.participant === participant)
    .map(({ position, hand, handRole, trial }): TestTask => {
      const { title = position, how = "" } = positions.get(position) ?? {};
      return {
        file: "grip-trials",
        row: { participant, occasion, hand, position, trial: String(trial) },
        title: `${handWords(hand, handRole)}, ${lowerFirst(title)}`,
        count: `Trial ${trial} of ${design.gripTrials}`,
        how,
        handRole,
      };
    });
  const swings = sheets.swings
    .filter((task) => task.participant === participant)
    .map(
      ({ club, swing }): TestTask => ({
        file: "swing-trials",
        row: { participant, occasion, club, swing: String(swing) },
        title: `Swing with the ${club}`,
        count: `Swing ${swing} of ${design.swings}`,
        how: "",
        handRole: "",
      }),
    );
  return [...squeezes, ...swings];
}

/** One more squeeze of a hand and position, after the planned ones. */
export function extraTask(task: TestTask, done: readonly StandingRow[]): TestTask {
  const number = 1 + done.filter(({ row }) => isSamePlace(row, task.row)).length;
  return {
    ...task,
    row: { ...task.row, trial: String(number) },
    count: `Trial ${number}, one more than planned`,
  };
}

/** Whether two grip rows are of the same golfer, visit, hand and position. */
export function isSamePlace(one: FormRow, other: FormRow): boolean {
  return (["participant", "occasion", "hand", "position"] as const).every(
    (column) => one[column] === other[column],
  );
}

function handWords(hand: string, role: "lead" | "trail"): string {
  const name = role === "lead" ? "Lead hand" : "Trail hand";
  return hand === role ? name : `${name} (${hand})`;
}

/** Seconds of rest that a squeeze still needs, by the clock times of the hand's last squeeze. */
export function restLeft(
  task: TestTask,
  done: readonly StandingRow[],
  { now, restSeconds }: { readonly now: string; readonly restSeconds: number },
): number {
  if (task.file !== "grip-trials" || restSeconds <= 0) return 0;
  const last = done.findLast(
    ({ file, row }) => file === "grip-trials" && row.hand === task.row.hand && row.force !== "",
  );
  if (!last) return 0;
  const passed = (Date.parse(now) - Date.parse(last.at)) / 1000;
  // A clock that was set back says nothing about the rest: the whole of it is asked for.
  if (!(passed >= 0)) return restSeconds;
  return Math.max(0, Math.ceil(restSeconds - passed));
}

/** The hand of a golfer by its place on the club, from the side or the role in a row. */
export function roleOf(hand: string, plays: "right" | "left" | undefined): "lead" | "trail" {
  if (hand === "lead" || hand === "trail") return hand;
  return sideOf("lead", plays) === hand ? "lead" : "trail";
}
