/** What a trial measures, by the names of its file. */
export interface TrialKind {
  /** Column of the measured value. */
  readonly valueName: "force" | "speed";
  /** Column of the number of the trial within its series. */
  readonly numberName: "trial" | "swing";
  /** What distinguishes one series of trials of a visit from another. */
  readonly placeName: "position" | "club";
  /** Whether each trial belongs to one hand. */
  readonly handed: boolean;
  /** Unit that values are converted to. */
  readonly unit: "kgf" | "m/s";
}

const force = { valueName: "force", unit: "kgf", handed: true } as const;
/** Grip trials on a dynamometer, in kgf, by hand and position. */
export const gripKind: TrialKind = { ...force, numberName: "trial", placeName: "position" };
/** Peak grip force in swings, in kgf, by hand and club. */
export const swingGripKind: TrialKind = { ...force, numberName: "swing", placeName: "club" };
/** Club-head speed of swings, in m/s, by club. */
export const swingKind: TrialKind = {
  valueName: "speed",
  unit: "m/s",
  handed: false,
  numberName: "swing",
  placeName: "club",
};
