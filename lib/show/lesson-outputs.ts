import type { Picture } from "./picture.js";
import type { TableColumn, TableRow } from "./table-record.js";

/** Whose golfers the exercises of a notebook are about. */
export interface Learner {
  /** Kind of the output. */
  readonly kind: "learner";
  /** The learner's code, as it was read. */
  readonly code: string;
  /** Language of the exercises, by its ISO 639-1 code. */
  readonly language: string;
}

/** Sets of invented golfers, one for each lesson. */
export const practiceSets = ["squeezes", "golfers", "block", "cards", "visits"] as const;
/** Names of the sets of invented golfers. */
export type PracticeSet = (typeof practiceSets)[number];

/** Golfers that are invented for one learner: the same code gives the same golfers everywhere. */
export interface Practice {
  /** Kind of the output. */
  readonly kind: "practice";
  /** Name of the set. */
  readonly set: PracticeSet;
  /** The learner's code, as it was read. */
  readonly learner: string;
  /** Columns by name, row by row in the order of the table. */
  readonly columns: Readonly<Record<string, readonly number[]>>;
  /** Label of each row. */
  readonly golfer: readonly string[];
  /** Single numbers that an exercise needs beside the table. */
  readonly given: Readonly<Record<string, number>>;
  /** Numbers in their order that belong to the table, such as means of resamples. */
  readonly grid?: {
    /** What the numbers are, with their unit. */
    readonly caption: string;
    /** The numbers, in the order in which they are shown. */
    readonly values: readonly number[];
    /** Decimal places. */
    readonly digits: number;
  };
  /** A sentence that stands above the table. */
  readonly caption: string;
  /** The golfers as a table that a reader sees. */
  readonly table: { readonly columns: readonly TableColumn[]; readonly rows: readonly TableRow[] };
}

/** An exercise as it is shown. */
export interface Exercise {
  /** Kind of the output. */
  readonly kind: "exercise";
  /** Names the exercise among the lessons. */
  readonly id: string;
  /** What is asked. */
  readonly prompt: string;
  /** The golfers that the exercise is about. */
  readonly set: PracticeSet;
  /** The code of the learner whose golfers they are. */
  readonly learner: string;
  /** Language of the exercise, by its ISO 639-1 code. */
  readonly language: string;
  /** True for an exercise that a cell of the notebook made: only the notebook can check it. */
  readonly own: boolean;
  /** Unit of the answer; "" for a pure number. */
  readonly unit: string;
  /** Decimal places that the exercise asks for. */
  readonly digits: number;
}

/** A number that the reader of a simulation may change. */
export interface NumberControl {
  /** A control for a number. */
  readonly kind: "number";
  /** Names the control in the settings. */
  readonly name: string;
  /** What stands beside the control. */
  readonly label: string;
  /** "" for a count or a pure number. */
  readonly unit: string;
  /** Least value, in `unit`. */
  readonly low: number;
  /** Greatest value, in `unit`. */
  readonly high: number;
  /** Distance between neighbouring values, in `unit`. */
  readonly step: number;
  /** Value before the reader changes it, in `unit`. */
  readonly start: number;
}

/** One of a few ways that the reader may choose. */
export interface ChoiceControl {
  /** A control for a few ways. */
  readonly kind: "choice";
  /** Names the control in the settings. */
  readonly name: string;
  /** What stands beside the control. */
  readonly label: string;
  /** The ways: name in the settings, and words for the reader. */
  readonly options: readonly { readonly value: string; readonly label: string }[];
  /** Name of the way before the reader changes it. */
  readonly start: string;
}

/** What the reader of a simulation may change. */
export type Control = NumberControl | ChoiceControl;

/** A value for each control. */
export type Settings = Readonly<Record<string, number | string>>;

/** A figure to play with, as it was when the cell ran. */
export interface Simulation {
  /** Kind of the output. */
  readonly kind: "simulation";
  /** Unique in the notebook; names the simulation in the page and in links. */
  readonly id: string;
  /** The model that draws it. */
  readonly model: string;
  /** A sentence that stands under the output. */
  readonly caption: string;
  /** What the reader may change. */
  readonly controls: readonly Control[];
  /** Value of each control, by name. */
  readonly settings: Settings;
  /** Seed of the random numbers: the same seed gives the same picture. */
  readonly seed: number;
  /** False where nothing is drawn at random and the seed has no part. */
  readonly chance: boolean;
  /** Language of the words, by its ISO 639-1 code. */
  readonly language: string;
  /** The result in words. */
  readonly sentence: string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: string;
  /** The drawing as data. */
  readonly picture: Picture;
  /** The numbers behind the sentence, by name. */
  readonly results: Readonly<Record<string, number>>;
}
