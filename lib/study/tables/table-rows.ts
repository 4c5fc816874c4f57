import type { GripRule, SpeedRule } from "./rules.js";

/** A hand by its place on the club: a right-sided player's lead hand is the left. */
export type Hand = "lead" | "trail";

/** A hand, or the side of a player, by side of the body. */
export type Side = "left" | "right";

/** Whether a trial counts, and if not, what kept it from counting. */
export type TrialStatus = "valid" | "pain-stop" | "refused" | "device";

/** What leaves a row out: a line of the set-aside file, the trial's status, or an error in the row. */
export type LeftOutBy = "set-aside" | "status" | "mapping" | "error";

/** One participant. Columns marked optional may be missing from a study's file. */
export type ParticipantRow = {
  /** Code of the golfer; never a name. */
  readonly participant: string;
  /** Id of the arm in the design. */
  readonly arm: string;
  /** Sex, as the norms need it. */
  readonly sex?: "female" | "male" | null;
  /** Age at the first occasion, years. */
  readonly age_years?: number;
  /** Playing side. */
  readonly plays: Side;
  /** Hand used for writing. */
  readonly writes_with?: Side | "both" | null;
  /** Standing height, cm. */
  readonly height_cm?: number;
  /** Body mass, kg. */
  readonly mass_kg?: number;
  /** Handicap index; below zero for a player better than scratch. */
  readonly handicap?: number;
  /** Regular strength training outside the study. */
  readonly gym_training?: "yes" | "no" | null;
  /** Day of leaving the study, ISO; null for those who stayed. */
  readonly withdrew_on?: string | null;
  /** Why the golfer left; null for those who stayed. */
  readonly withdrew_reason?: string | null;
};

/** What every trial has. */
export type TrialRow = {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the participant's arm in the design. */
  readonly arm: string;
  /** Id of the occasion in the design. */
  readonly occasion: string;
  /** Week of the occasion. */
  readonly week: number;
  /** Day of the test, ISO. */
  readonly date?: string | null;
  /** Clock time of the trial. */
  readonly time?: string | null;
  /** Code of the device. */
  readonly device?: string | null;
  /** Whether the trial counts, or why not. */
  readonly status: TrialStatus;
  /** Remark of the person who recorded it. */
  readonly note?: string | null;
  /** File that the trial stands in, with the sheet where one is named. */
  readonly file: string;
  /** Row of the file, as a spreadsheet counts: the header is row 1. */
  readonly file_row: number;
};

/** What trials of force have. */
export type ForceRow = TrialRow & {
  readonly hand: Hand;
  /** Side of the body of that hand. */
  readonly side: Side;
  /** Peak force as the file has it, in `unit`. */
  readonly force: number;
  /** Unit of the row as the file writes it. */
  readonly unit: string;
  /** Peak force, kgf. */
  readonly force_kgf: number;
};

/** One grip trial in use. */
export type GripTrialRow = ForceRow & {
  /** Id of the test position in the design. */
  readonly position: string;
  /** Handle setting, mm. */
  readonly handle_mm?: number;
  /** Number of the trial in this hand and position. */
  readonly trial: number;
};

/** One swing in use. */
export type SwingTrialRow = TrialRow & {
  readonly club: string;
  /** Number of the swing on this occasion. */
  readonly swing: number;
  /** Club-head speed as the file has it, in `unit`. */
  readonly speed: number;
  /** Unit of the row as the file writes it. */
  readonly unit: string;
  /** Club-head speed, m/s. */
  readonly speed_mps: number;
  /** Club-head speed, mph. */
  readonly speed_mph: number;
};

/** Peak grip force of one hand in one swing. */
export type SwingGripRow = ForceRow & {
  readonly club: string;
  /** Number of the swing on this occasion. */
  readonly swing: number;
};

/** A row of the file whether in use or not: what could not be read of it is null. */
export type RecordedTrial<Row> = {
  readonly [Name in keyof Row]: Row[Name] extends number ? number : Row[Name] | null;
} & {
  readonly used: boolean;
  /** Why the row is not in use; empty for one that is. */
  readonly left_out: string;
  readonly left_out_by: LeftOutBy | "";
};

/** One session of training. */
export type TrainingRow = {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the participant's arm in the design. */
  readonly arm: string;
  /** Day of the session, ISO. */
  readonly date: string;
  /** Time trained, minutes; NaN where it was not written down. */
  readonly minutes?: number;
  /** Whether the session was done. */
  readonly completed: "yes" | "no";
  /** Pain or discomfort in the session. */
  readonly discomfort?: "none" | "mild" | "stop" | null;
  /** Remark of the person who recorded it. */
  readonly note?: string | null;
};

/** One check of a device with a known load. */
export type CalibrationRow = {
  /** Day of the check, ISO. */
  readonly date?: string | null;
  /** Code of the device. */
  readonly device: string;
  /** Load hung on the device, in `unit`. */
  readonly known_load: number;
  /** What the device showed, in `unit`. */
  readonly reading: number;
  /** Unit of load and reading. */
  readonly unit: string;
  /** Remark of the person who recorded it. */
  readonly note?: string | null;
};

/** What every summary row has. */
export type SummaryRow<Rule> = {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the participant's arm in the design. */
  readonly arm: string;
  /** Id of the occasion in the design. */
  readonly occasion: string;
  /** Week of the occasion. */
  readonly week: number;
  /** Trials that the value rests on. */
  readonly n: number;
  /** Trials that the design and the rule would have. */
  readonly planned: number;
  /** Whether n reaches planned. */
  readonly complete: boolean;
  /** Name of the rule by which trials became one value. */
  readonly rule: Rule;
};

/** One grip value of a person on an occasion. */
export type GripSummaryRow = SummaryRow<GripRule> & {
  /** Missing where the rule joins both hands. */
  readonly hand?: Hand;
  readonly position: string;
  /** Grip force by the rule, kgf. */
  readonly grip_kgf: number;
};

/** One club-speed value of a person on an occasion. */
export type SpeedSummaryRow = SummaryRow<SpeedRule> & {
  readonly club: string;
  /** Club-head speed by the rule, m/s. */
  readonly speed_mps: number;
  /** Club-head speed by the rule, mph. */
  readonly speed_mph: number;
};
