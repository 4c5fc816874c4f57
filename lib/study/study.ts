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
  readonly kind: "study";
  /** Name of the study's folder. */
  readonly name: string;
  readonly title: string;
  /** True when the data were made by a simulator. */
  readonly simulated: boolean;
  readonly question: string;
  readonly design: StudyDesign;
  readonly plan: StudyPlan;
  readonly cautions: readonly string[];
  readonly changes: readonly PlanChange[];
  readonly participants: StudyTable<ParticipantRow>;
  /** Grip trials in use: participant, arm, occasion, week, hand (lead or trail), side, position, trial, force, unit, force_kgf … */
  readonly gripTrials: StudyTable<GripTrialRow>;
  /** Swings in use: participant, arm, occasion, week, club, swing, speed, unit, speed_mps, speed_mph … */
  readonly swingTrials: StudyTable<SwingTrialRow>;
  readonly trainingLog: StudyTable<TrainingRow>;
  /** Peak grip force in swings: participant, arm, occasion, club, swing, hand, force_kgf … */
  readonly swingGrip: StudyTable<SwingGripRow>;
  readonly calibration: StudyTable<CalibrationRow>;
  /** How each device reads known loads. */
  readonly calibrationLines: readonly CalibrationLine[];
  /** Every grip trial of the file, with `used`, and `left_out` and `left_out_by` where it is not. */
  readonly allGripTrials: StudyTable<RecordedTrial<GripTrialRow>>;
  readonly allSwingTrials: StudyTable<RecordedTrial<SwingTrialRow>>;
  readonly issues: readonly Issue[];
  readonly setAside: readonly SetAside[];
  readonly account: readonly AccountLine[];
  /** Files that were read, by their paths in the study folder. */
  readonly files: readonly string[];
}

/** What reading a study came to; `study` is null when an issue stops it. */
export interface Inspection {
  readonly kind: "inspection";
  readonly name: string;
  readonly study: Study | null;
  readonly issues: readonly Issue[];
  readonly setAside: readonly SetAside[];
  readonly account: readonly AccountLine[];
}
