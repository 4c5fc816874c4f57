import type { PlanChange, StudyDesign, StudyPlan } from "./design.js";
import type { Field, ResourceName } from "./dictionary.js";
import { dictionary } from "./dictionary.js";

/** What a datapackage.json says of a study. */
export interface DescriptorInput {
  /** Lower-case name without spaces, such as "winter-block". */
  readonly name: string;
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** What the study is, in a paragraph. */
  readonly description: string;
  /** The question that the study asks, as a sentence. */
  readonly question: string;
  /** Whether the data were made by a simulator. */
  readonly simulated: boolean;
  /** What was going to be measured, in whom and when. */
  readonly design: StudyDesign;
  /** What was going to be reported, decided before the data were seen. */
  readonly plan: StudyPlan;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
  /** Changes to the plan, each with its day and reason. */
  readonly changes: readonly PlanChange[];
  /** The files the study has, and for each the columns it has; every column when left out. */
  readonly files: readonly DescribedFile[];
}

/** One file of a study: in our columns, or as a device exports it. */
export interface DescribedFile {
  /** What the file contains. */
  readonly name: ResourceName;
  /** The columns of ours that it has; every column when left out. */
  readonly columns?: readonly string[];
  /** Where a device exports it: its path, its layout, and how it is read. */
  readonly device?:
    | { readonly path: string; readonly delimiter: string; readonly reading: object }
    | undefined;
}

const titles: Readonly<Record<ResourceName, string>> = {
  participants: "Participants",
  "grip-trials": "Grip trials, one row per squeeze",
  "swing-trials": "Swings, one row per swing",
  "training-log": "Training log, one row per session",
  "swing-grip": "Grip force in swings",
  calibration: "Checks of the dynamometers with known loads",
  "set-aside": "Trials that no analysis uses, each with its reason",
};

const keys: Readonly<Partial<Record<ResourceName, readonly string[]>>> = {
  participants: ["participant"],
  "grip-trials": ["participant", "occasion", "hand", "position", "trial"],
  "swing-trials": ["participant", "occasion", "club", "swing"],
};

/**
 * The descriptor of a study: Data Package v2 with one resource a file, fields from the data
 * dictionary, and the `study` property.
 * @see https://datapackage.org/standard/data-package/
 */
export function descriptorOf(input: DescriptorInput): Record<string, unknown> {
  const { name, title, description, question, simulated, design, plan, cautions, changes } = input;
  return {
    $schema: "https://datapackage.org/profiles/2.0/datapackage.json",
    name,
    title,
    description,
    version: "1.0.0",
    licenses: [{ name: "CC0-1.0", path: "https://creativecommons.org/publicdomain/zero/1.0/" }],
    study: { title, question, simulated, ...design, plan, cautions, changes },
    resources: input.files.map(({ name, columns, device }) =>
      device ? exportDescriptor(name, device) : resourceDescriptor(name, columns),
    ),
  };
}

/** A file with its own headings: they stand in `reading`, so that no schema repeats them. */
function exportDescriptor(
  name: ResourceName,
  { path, delimiter, reading }: NonNullable<DescribedFile["device"]>,
): Record<string, unknown> {
  return {
    name,
    type: "table",
    path,
    title: titles[name],
    format: "csv",
    mediatype: "text/csv",
    encoding: "utf-8",
    dialect: { delimiter },
    reading,
  };
}

/** One file of a study as a Data Resource with its Table Schema; all columns when none are named. */
export function resourceDescriptor(
  name: ResourceName,
  columns?: readonly string[],
): Record<string, unknown> {
  const fields = dictionary[name].filter((field) => !columns || columns.includes(field.name));
  const primaryKey = keys[name];
  const ofPerson = name !== "participants" && fields.some((field) => field.name === "participant");
  return {
    name,
    type: "table",
    path: `${name}.csv`,
    title: titles[name],
    format: "csv",
    mediatype: "text/csv",
    encoding: "utf-8",
    schema: {
      fields: fields.map(fieldOf),
      missingValues: [""],
      ...(primaryKey ? { primaryKey } : {}),
      ...(ofPerson ? { foreignKeys: [toParticipants] } : {}),
    },
  };
}

const toParticipants = {
  fields: ["participant"],
  reference: { resource: "participants", fields: ["participant"] },
};

function fieldOf({ name, type, title, description, unit, constraints }: Field) {
  return {
    name,
    type,
    ...(title ? { title } : {}),
    ...(description ? { description } : {}),
    ...(unit ? { unit } : {}),
    ...(constraints ? { constraints } : {}),
  };
}
