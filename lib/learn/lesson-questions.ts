import type { Settings } from "../show/lesson-outputs.js";

/** What a question of a lesson is for, apart from its words. */
export interface LessonQuestion {
  /** Number of the lesson. */
  readonly lesson: number;
  /** Id of the simulation that the first choice reveals and unlocks. */
  readonly unlocks?: string;
  /** Settings with which this simulation answers the question. */
  readonly shows?: Settings;
  /** Id of the simulation that is played with to find the answer. */
  readonly plays?: string;
}

const opening = (lesson: number) => ({ lesson });
const predicting = (lesson: number, unlocks: string, shows: Settings) => ({
  lesson,
  unlocks,
  shows,
});
const playing = (lesson: number, plays: string) => ({ lesson, plays });
const judging = (lesson: number) => ({ lesson });

/** The questions of the lessons, in the order in which a reader meets them. */
export const lessonQuestions = {
  "squeeze-open": opening(1),
  "squeeze-shift": opening(1),
  "squeeze-predict": predicting(1, "one-squeeze", { shown: "one" }),
  "squeeze-play-1": playing(1, "one-squeeze"),
  "squeeze-play-2": playing(1, "one-squeeze"),
  "squeeze-play-3": playing(1, "one-squeeze"),
  "squeeze-play-4": playing(1, "one-squeeze"),
  "squeeze-judge": judging(1),
  "line-open": opening(2),
  "line-predict": predicting(2, "a-line", { shown: "one", trials: 1, error: 8 }),
  "line-play-1": playing(2, "a-line"),
  "line-play-2": playing(2, "a-line"),
  "line-play-3": playing(2, "a-line"),
  "line-play-4": playing(2, "a-line"),
  "line-drag": playing(2, "own-line"),
  "line-judge": judging(2),
  "before-after-open": opening(3),
  "before-after-predict": predicting(3, "before-and-after", { shown: "one" }),
  "before-after-play-1": playing(3, "before-and-after"),
  "before-after-play-2": playing(3, "before-and-after"),
  "before-after-play-3": playing(3, "before-and-after"),
  "before-after-play-4": playing(3, "before-and-after"),
  "before-after-drag": playing(3, "own-changes"),
  "before-after-judge": judging(3),
  "resampling-open": opening(4),
  "resampling-predict": predicting(4, "resampling", { shown: "one", people: 5 }),
  "resampling-play-1": playing(4, "resampling"),
  "resampling-play-2": playing(4, "resampling"),
  "resampling-play-3": playing(4, "resampling"),
  "resampling-play-4": playing(4, "resampling"),
  "resampling-judge": judging(4),
  "within-open": opening(5),
  "within-predict": predicting(5, "within-and-between", { shown: "one" }),
  "within-play-1": playing(5, "within-and-between"),
  "within-play-2": playing(5, "within-and-between"),
  "within-play-3": playing(5, "within-and-between"),
  "within-play-4": playing(5, "within-and-between"),
  "within-judge": judging(5),
  "physics-open": opening(6),
  "physics-predict": predicting(6, "pull", { hand: 0.8 }),
  "physics-play-1": playing(6, "pull"),
  "physics-play-2": playing(6, "pull"),
  "physics-judge": judging(6),
} as const satisfies Readonly<Record<string, LessonQuestion>>;

/** Id of a question of the lessons. */
export type QuestionId = keyof typeof lessonQuestions;
