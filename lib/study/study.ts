import type { CalibrationLine } from "./check/calibration.js";
import type { AccountLine, Issue, SetAside } from "./check/issue.js";
import type { PlanChange, StudyDesign, StudyPlan } from "./package/design.js";
import type { StudyTable } from "./tables/study-table.js";
import type {
  CalibrationRow,
  GripTrialRow,
  ParticipantRow,
  RecordedTrial,
  SwingGripRow,
  SwingTrialRow,
  TrainingRow,
} from "./tables/table-rows.js";

/** A study, read and checked. Tables hold the rows in use; every other row stands in `setAside`. */
export interface Study {
  /** Name of this record. */
  readonly kind: "study";
  /** Name of the study's folder. */
  readonly name: string;
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** True when the data were made by a simulator. */
  readonly simulated: boolean;
  /** The question that the study asks, as a sentence. */
  readonly question: string;
  /** What was going to be measured, in whom and when. */
  readonly design: StudyDesign;
  /** What was going to be reported, decided before the data were seen. */
  readonly plan: StudyPlan;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
  /** Changes to the plan, each with its day and reason. */
  readonly changes: readonly PlanChange[];
  /** One row per participant. */
  readonly participants: StudyTable<ParticipantRow>;
  /** Grip trials in use: participant, arm, occasion, week, hand (lead or trail), side, position, trial, force, unit, force_kgf … */
  readonly gripTrials: StudyTable<GripTrialRow>;
  /** Swings in use: participant, arm, occasion, week, club, swing, speed, unit, speed_mps, speed_mph … */
  readonly swingTrials: StudyTable<SwingTrialRow>;
  /** Sessions of training: participant, arm, date, minutes, completed … */
  readonly trainingLog: StudyTable<TrainingRow>;
  /** Peak grip force in swings: participant, arm, occasion, club, swing, hand, force_kgf … */
  readonly swingGrip: StudyTable<SwingGripRow>;
  /** Checks of devices with known loads. */
  readonly calibration: StudyTable<CalibrationRow>;
  /** How each device reads known loads. */
  readonly calibrationLines: readonly CalibrationLine[];
  /** Every grip trial of the file, with `used`, and `left_out` and `left_out_by` where it is not. */
  readonly allGripTrials: StudyTable<RecordedTrial<GripTrialRow>>;
  /** Every swing of the file, with the same three columns. */
  readonly allSwingTrials: StudyTable<RecordedTrial<SwingTrialRow>>;
  /** Everything that the check found. */
  readonly issues: readonly Issue[];
  /** Rows that no analysis uses, and why. */
  readonly setAside: readonly SetAside[];
  /** Rows of each file: in all, used and set aside. */
  readonly account: readonly AccountLine[];
  /** Files that were read, by their paths in the study folder. */
  readonly files: readonly string[];
}

/** What reading a study came to; `study` is null when an issue stops it. */
export interface Inspection {
  /** Name of this record. */
  readonly kind: "inspection";
  /** Name of the study's folder. */
  readonly name: string;
  /** The study; null when an issue stops the check. */
  readonly study: Study | null;
  /** Everything that the check found. */
  readonly issues: readonly Issue[];
  /** Rows that no analysis uses, and why. */
  readonly setAside: readonly SetAside[];
  /** Rows of each file: in all, used and set aside. */
  readonly account: readonly AccountLine[];
}
