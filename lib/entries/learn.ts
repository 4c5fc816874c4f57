/**
 * Models that a learner changes, and exercises that check an answer.
 * @module tautline/learn
 */

export * from "../errors.js";
export type { AnswerVerdict } from "../learn/answer.js";
export { type AnswerLine, answersOf } from "../learn/answers.js";
export { playBeforeAfter } from "../learn/before-after-model.js";
export {
  answer,
  type CheckedAnswer,
  exercise,
  learner,
  type OwnExercise,
  practiceTable,
  workedAnswer,
} from "../learn/exercise.js";
export {
  type HandedIn,
  handedIn,
  type ReadHandedIn,
  readHandedIn,
  type Work,
} from "../learn/hand-in.js";
export { lessonCaption, lessonQuestion } from "../learn/lesson-cells.js";
export type { QuestionId } from "../learn/lesson-questions.js";
export { playLine } from "../learn/line-model.js";
export { type Marks, marksOf, type StudentMark } from "../learn/marks.js";
export type { Played, PlayedOutcome } from "../learn/model.js";
export { playOwnChanges } from "../learn/own-changes-model.js";
export { playOwnLine } from "../learn/own-line-model.js";
export { learnerCode, practice } from "../learn/practice.js";
export { playPull } from "../learn/pull-model.js";
export { playResampling } from "../learn/resampling-model.js";
export { type SimulationInput, simulation } from "../learn/simulation.js";
export { playSqueeze } from "../learn/squeeze-model.js";
export { playWithin } from "../learn/within-model.js";
export type {
  ChoiceControl,
  Control,
  Exercise,
  Learner,
  NumberControl,
  Practice,
  PracticeSet,
  Settings,
  Simulation,
} from "../show/lesson-outputs.js";
export type { Role } from "../show/look.js";
export type {
  BandLayer,
  DotsLayer,
  LabelsLayer,
  Layer,
  LineLayer,
  Panel,
  Picture,
  PictureAxis,
  PointHandle,
  RuleLayer,
  StrokesLayer,
  Tone,
} from "../show/picture.js";
export type { TableColumn, TableRow, TableValue } from "../show/table-record.js";
export type { Question, QuestionOption } from "../show/word-outputs.js";
export type { StepOfGolfers, WorkedStep } from "../show/worked-steps.js";
