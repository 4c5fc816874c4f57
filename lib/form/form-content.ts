import { resourceDescriptor } from "../study/package/descriptor.js";
import type { PlanChange, StudyDesign } from "../study/package/design.js";
import { dictionary } from "../study/package/dictionary.js";
import { type SheetPerson, sideOf } from "../study/plan/sheets.js";
import type { Study } from "../study/study.js";

/** A row of one of the study's files, as text by column. */
export type FormRow = Readonly<Record<string, string>>;

/** The files that a form fills. */
export const formFiles = ["grip-trials", "swing-trials", "training-log", "calibration"] as const;
/** One of these files. */
export type FormFile = (typeof formFiles)[number];

/** Everything that a form carries: the design of the study and the codes of the golfers. */
export interface FormContent {
  /** What the form records: tests by a tester, or training by the golfer. */
  readonly purpose: "tests" | "diary";
  /** Name of the study's folder. */
  readonly study: string;
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** The design of the study. */
  readonly design: StudyDesign;
  /** The `study` block of datapackage.json, which the checks at entry use. */
  readonly studyBlock: Readonly<Record<string, unknown>>;
  /** Codes of the golfers, with the playing side where it is known. */
  readonly people: readonly SheetPerson[];
  /** The only visit that is offered; all of them when left out. */
  readonly occasion?: string;
  /** Seed of the order of testing; the same as for the recording sheets. */
  readonly seed: number;
  /** Unit that the dynamometer shows. */
  readonly forceUnit: string;
  /** Unit that the speed device shows. */
  readonly speedUnit: string;
  /** Cautions of this study. */
  readonly cautions: readonly string[];
  /** True when the plan corrects readings by calibration: the day's check is then asked for. */
  readonly calibrated: boolean;
  /** Trials of earlier visits, when the form was made with them. */
  readonly earlier: Readonly<Partial<Record<"grip-trials" | "swing-trials", readonly FormRow[]>>>;
}

/** What a form is made for. */
export interface FormOptions {
  /** Tests by a tester, or training by the golfer. */
  readonly purpose: FormContent["purpose"];
  /** Golfers of the form. */
  readonly people: readonly SheetPerson[];
  /** The only visit that is offered; all of them when left out. */
  readonly occasion?: string | undefined;
  /** Seed of the order of testing. */
  readonly seed: number;
  /** Unit that the dynamometer shows. */
  readonly forceUnit: string;
  /** Unit that the speed device shows. */
  readonly speedUnit: string;
  /** True when the form carries the trials of earlier visits, for the checks at entry. */
  readonly withEarlier: boolean;
}

/**
 * What a form carries of a study: design, codes and, if asked, earlier trials; no other data of the
 * golfers.
 * @param study the study, read
 * @param studyBlock the `study` block of its datapackage.json
 */
export function formContent(
  study: Study,
  studyBlock: Readonly<Record<string, unknown>>,
  { withEarlier, occasion, ...options }: FormOptions,
): FormContent {
  const plays = new Map(options.people.map((person) => [person.participant, person.plays]));
  const earlier = (file: "grip-trials" | "swing-trials", rows: readonly object[]) =>
    rows
      .map((row) => earlierRow(row as Readonly<Record<string, unknown>>, file, plays))
      .filter((row) => plays.has(row.participant ?? "") && row.occasion !== occasion);
  return {
    ...options,
    ...(occasion !== undefined && { occasion }),
    study: study.name,
    title: study.title,
    design: study.design,
    studyBlock,
    cautions: study.cautions,
    calibrated: study.plan.calibration === "correct",
    earlier:
      withEarlier && options.purpose === "tests"
        ? {
            "grip-trials": earlier("grip-trials", study.gripTrials.objects()),
            "swing-trials": earlier("swing-trials", study.swingTrials.objects()),
          }
        : {},
  };
}

/** An earlier trial as a form writes it: the hand by its side where that is known, and no note. */
function earlierRow(
  row: Readonly<Record<string, unknown>>,
  file: "grip-trials" | "swing-trials",
  plays: ReadonlyMap<string, "right" | "left" | undefined>,
): FormRow {
  const texts = columnsOfFile(file).map((name): [string, string] => [name, cellText(row[name])]);
  const text = Object.fromEntries(texts);
  const { participant = "", hand = "" } = text;
  const side =
    hand === "" ? "" : sideOf(hand === "lead" ? "lead" : "trail", plays.get(participant));
  return { ...text, ...(hand !== "" && { hand: side }), note: "" };
}

function cellText(value: unknown): string {
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  return typeof value === "string" ? value : "";
}

/** The columns of a file, in the order of the data dictionary. */
export function columnsOfFile(file: FormFile): readonly string[] {
  return dictionary[file].map(({ name }) => name);
}

/**
 * The descriptor of a study with one golfer that the checks at entry read: the design of the real
 * study, files in the plain layout, and no plan change, because only trials are checked.
 */
export function checkedDescriptor({ study, title, studyBlock }: FormContent): string {
  const names = ["participants", "grip-trials", "swing-trials"] as const;
  const changes: readonly PlanChange[] = [];
  return JSON.stringify({
    name: study,
    title,
    resources: names.map((name) => resourceDescriptor(name)),
    study: { ...studyBlock, changes },
  });
}
