import { beforeAfterTasks } from "./before-after-exercises.js";
import { lineTasks } from "./line-exercises.js";
import { resamplingTasks } from "./resampling-exercises.js";
import type { Task, TaskWords } from "./solution.js";
import { squeezeTasks } from "./squeeze-exercises.js";
import { withinTasks } from "./within-exercises.js";

/** The exercises of the lessons, in the order of the lessons. */
export const tasks = {
  ...squeezeTasks,
  ...lineTasks,
  ...beforeAfterTasks,
  ...resamplingTasks,
  ...withinTasks,
};

/** Id of an exercise of the lessons. */
export type TaskId = keyof typeof tasks;

type CalculatedOf<Id extends TaskId> =
  (typeof tasks)[Id] extends Task<infer Calculated> ? Calculated : never;

/** All words of the lessons' exercises in one language. */
export type LessonWords = {
  readonly [Id in TaskId]: TaskWords<CalculatedOf<Id>>;
};

/** Names of the lessons. */
export const lessonTitles = [
  "1 What one squeeze tells",
  "2 A line through golfers",
  "3 Before and after",
  "4 Resampling",
  "5 Within and between golfers",
] as const;
