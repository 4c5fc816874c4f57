/** A column's type, by the names of the Table Schema standard. */
export type FieldType = "string" | "number" | "integer" | "date" | "time" | "datetime" | "boolean";

/** One column as datapackage.json describes it (Table Schema of Data Package v2). */
export interface Field {
  /** Name of the column in the file. */
  readonly name: string;
  /** Type of the values, by Table Schema. */
  readonly type: FieldType;
  /** Heading as a reader sees it. */
  readonly title?: string;
  /** What the column contains. */
  readonly description?: string;
  /** Unit of the values where the column has one unit only. */
  readonly unit?: string;
  /** Unit that a file has the column in where it differs from `unit`; values are converted. */
  readonly fileUnit?: string;
  /** How a date or time is written, by Table Schema. */
  readonly format?: string;
  /** Decimal mark of the numbers in the file; a point unless given. */
  readonly decimalChar?: string;
  /** Limits of what a cell may contain. */
  readonly constraints?: {
    readonly required?: boolean;
    readonly enum?: readonly string[];
    readonly minimum?: number;
    readonly maximum?: number;
    readonly pattern?: string;
  };
}

/** The files a study may have, by their resource names. */
export const resourceNames = [
  "participants",
  "grip-trials",
  "swing-trials",
  "training-log",
  "swing-grip",
  "calibration",
  "set-aside",
] as const;
/** Name of one of these files. */
export type ResourceName = (typeof resourceNames)[number];

/** Whether a trial counts, and if not what kept it from counting. A missing value is never 0. */
const trialStatuses = ["valid", "pain-stop", "refused", "device"] as const;

const id = (name: string, description: string): Field => ({
  name,
  type: "string",
  description,
  constraints: { required: true },
});
const text = (name: string, description: string): Field => ({ name, type: "string", description });
const choice = (name: string, description: string, values: readonly string[], required = true) => ({
  name,
  type: "string" as const,
  description,
  constraints: { required, enum: values },
});
const measure = (
  name: string,
  description: string,
  unit: string,
  [minimum, maximum]: readonly [number, number],
): Field => ({ name, type: "number", description, unit, constraints: { minimum, maximum } });
const count = (name: string, description: string, maximum: number): Field => ({
  name,
  type: "integer",
  description,
  constraints: { required: true, minimum: 1, maximum },
});
const date = (name: string, description: string): Field => ({ name, type: "date", description });
const time: Field = { name: "time", type: "time", description: "Clock time of the trial" };

const participant = id("participant", "Code of the golfer; text, never a name");
const occasion = id("occasion", "Test occasion, by its id in the design");
const status = choice(
  "status",
  "valid, or why the trial does not count; the value of a trial not done is left empty",
  trialStatuses,
);
const note = text("note", "Anything the tester wrote down");
const forceUnit = text("unit", "Unit of the force in this row: kgf, N or lbf");

/** The columns of every file of a study, in the order in which they are written. */
export const dictionary: Readonly<Record<ResourceName, readonly Field[]>> = {
  participants: [
    participant,
    id("arm", "Arm of the study, by its id in the design"),
    choice("sex", "Sex as needed for the norms", ["female", "male"], false),
    measure("age_years", "Age at the first occasion", "years", [10, 100]),
    choice("plays", "Playing side; a right-sided player's lead hand is the left", [
      "right",
      "left",
    ]),
    choice("writes_with", "Hand used for writing", ["right", "left", "both"], false),
    measure("height_cm", "Standing height", "cm", [120, 220]),
    measure("mass_kg", "Body mass", "kg", [30, 200]),
    {
      name: "handicap",
      type: "number",
      description: "Handicap index; below zero for a player better than scratch",
      constraints: { minimum: -10, maximum: 54 },
    },
    choice("gym_training", "Regular strength training outside the study", ["yes", "no"], false),
    date("withdrew_on", "Day of leaving the study, empty for those who stayed"),
    text("withdrew_reason", "Reason given for leaving"),
  ],
  "grip-trials": [
    participant,
    occasion,
    date("date", "Day of the test"),
    time,
    choice("hand", "Hand tested: by side, or by its place on the club", [
      "left",
      "right",
      "lead",
      "trail",
    ]),
    id("position", "Test position, by its id in the design"),
    measure("handle_mm", "Handle setting of the dynamometer", "mm", [20, 120]),
    text("device", "Code of the dynamometer"),
    count("trial", "Number of the trial in this hand and position", 50),
    {
      name: "force",
      type: "number",
      description: "Peak force",
      constraints: { minimum: 0, maximum: 10_000 },
    },
    forceUnit,
    status,
    note,
  ],
  "swing-trials": [
    participant,
    occasion,
    date("date", "Day of the test"),
    time,
    id("club", "Club swung, by its id in the design"),
    text("device", "Code of the speed device"),
    count("swing", "Number of the swing on this occasion", 200),
    {
      name: "speed",
      type: "number",
      description: "Club-head speed",
      constraints: { minimum: 0, maximum: 1_000 },
    },
    text("unit", "Unit of the speed in this row: m/s, mph or km/h"),
    status,
    note,
  ],
  "training-log": [
    participant,
    { ...date("date", "Day of the session"), constraints: { required: true } },
    measure("minutes", "Time trained", "min", [0, 600]),
    choice("completed", "Whether the session was done", ["yes", "no"]),
    choice("discomfort", "Pain or discomfort in the session", ["none", "mild", "stop"], false),
    note,
  ],
  "swing-grip": [
    participant,
    occasion,
    id("club", "Club swung"),
    count("swing", "Number of the swing", 200),
    choice("hand", "Hand measured", ["left", "right", "lead", "trail"]),
    {
      name: "force",
      type: "number",
      description: "Peak grip force in the swing",
      constraints: { minimum: 0, maximum: 10_000 },
    },
    forceUnit,
    status,
    note,
  ],
  calibration: [
    date("date", "Day of the check"),
    id("device", "Code of the device"),
    {
      name: "known_load",
      type: "number",
      description: "Load hung on the device",
      constraints: { required: true, minimum: 0, maximum: 10_000 },
    },
    {
      name: "reading",
      type: "number",
      description: "What the device showed",
      constraints: { required: true, minimum: 0, maximum: 10_000 },
    },
    forceUnit,
    note,
  ],
  "set-aside": [
    id("file", "Resource or file that holds the trial"),
    participant,
    id("occasion", "Occasion of the trial"),
    text("hand", "Hand of a grip trial"),
    text("position", "Position of a grip trial"),
    text("club", "Club of a swing"),
    id("number", "Trial or swing number, or 'all' for every one that matches"),
    id("reason", "Why no analysis uses it"),
    { ...date("decided_on", "Day of the decision"), constraints: { required: true } },
  ],
};

/** Columns that must be there though a cell may be empty: a trial not done has no value. */
const neverAbsent = ["force", "speed", "unit"];

/** Columns a file must have; the others may be left out of it. */
export function requiredColumns(resource: ResourceName): string[] {
  return dictionary[resource]
    .filter(({ name, constraints }) => constraints?.required || neverAbsent.includes(name))
    .map(({ name }) => name);
}

/** Highest and lowest value that a person can plausibly reach, in the unit of the canonical column. */
export const plausible = {
  // The highest single trial among 7 821 people of NHANES 2011–2012 was 85.8 kgf (MGX_G codebook);
  // 110 kgf leaves room for the strongest.
  force_kgf: { least: 2, most: 110 },
  // Common practice, no source: a driver swung by anyone from a beginner to a long-drive specialist.
  speed_mps: { least: 13, most: 70 },
} as const;
