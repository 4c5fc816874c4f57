import type { AnalysisDone } from "../show/analysis-done.js";

/** One arm in the flow of golfers. */
export interface FlowOfArm {
  /** Title of the arm. */
  readonly title: string;
  /** Golfers in the participants file. */
  readonly enrolled: number;
  /** Golfers with at least one valid trial, visit by visit. */
  readonly seen: readonly { readonly occasion: string; readonly people: number }[];
  /** Golfers who left, by place in the course of the study and by reason. */
  readonly withdrew: readonly {
    readonly reason: string;
    readonly people: number;
    /** Title of the last visit before they left; left out where they left before the first. */
    readonly after?: string | undefined;
    /** Title of the next visit; left out where they left after the last. */
    readonly before?: string | undefined;
  }[];
  /** Golfers behind the primary comparison; without one, measured on both visits of the plan. */
  readonly analysed: number;
}

/** One row of the baseline table; each cell belongs to one arm. */
export interface BaselineRow {
  /** What is described: "Age", "Sex: female". */
  readonly label: string;
  /** Unit of mean and standard deviation; "" for a number of golfers. */
  readonly unit: string;
  /** Mean and standard deviation, or a number of golfers; null where an arm has no value. */
  readonly cells: readonly (
    | { readonly mean: number; readonly sd: number | null; readonly n: number }
    | { readonly count: number }
    | null
  )[];
}

/** How a dynamometer read known loads. */
export interface DeviceFacts {
  /** Code of the device. */
  readonly device: string;
  /** Checks with a known load. */
  readonly n: number;
  /** Largest error of a reading, percent of the load. */
  readonly worstPercent: number;
  /** Every reading and the slope lie within the accepted limits. */
  readonly accepted: boolean;
}

/** What the study's files and its descriptor say, as plain records. */
export interface StudyFacts {
  /** Name of the study's folder. */
  readonly name: string;
  /** Title of the study. */
  readonly title: string;
  /** Version of the data package. */
  readonly version: string;
  /** The question as a sentence. */
  readonly question?: string | undefined;
  /** The data were made by a simulator. */
  readonly simulated: boolean;
  /** Licence of the data. */
  readonly licence?: string | undefined;
  /** Arms, visits and what is measured. */
  readonly design: {
    readonly arms: readonly { readonly title: string; readonly control?: boolean | undefined }[];
    readonly occasions: readonly { readonly week: number; readonly title: string }[];
    readonly hands: readonly string[];
    readonly positions: readonly { readonly title: string; readonly how?: string | undefined }[];
    readonly clubs: readonly string[];
    readonly gripTrials: number;
    readonly swings: number;
    readonly restSeconds?: number | undefined;
  };
  /** The plan, its outcome and rules in words. */
  readonly plan: {
    readonly decidedOn?: string | undefined;
    readonly primary?: string | undefined;
    readonly gripRule: string;
    readonly speedRule: string;
    readonly level: number;
    readonly seed: number;
    readonly smallestWorthwhile: Readonly<Record<string, number>>;
    readonly correctsCalibration: boolean;
  };
  /** Changes to the plan, with day and reason. */
  readonly changes: readonly { readonly on: string; readonly what: string; readonly why: string }[];
  /** Sentences about safety. */
  readonly cautions: readonly string[];
  /** What the authors state for a reporting item, such as "cert 7a". */
  readonly statements: Readonly<Record<string, string>>;
  /** Golfers from enrolment to analysis. */
  readonly flow: {
    readonly enrolled: number;
    /** What `analysed` counts: "in the primary comparison". */
    readonly analysedWords: string;
    readonly arms: readonly FlowOfArm[];
  };
  /** The analysis as it was made, from the fields of the recorded findings. */
  readonly done: AnalysisDone;
  /** Golfers at the first visit, arm beside arm. */
  readonly baseline: readonly BaselineRow[];
  /** First and last day of measurement. */
  readonly dates?: { readonly first: string; readonly last: string } | undefined;
  /** The training log, arm by arm. */
  readonly training: readonly {
    readonly title: string;
    readonly people: number;
    readonly logged: number;
    readonly completed: number;
    readonly discomfort: number;
    readonly minutes?: number | undefined;
  }[];
  /** Checks of the dynamometers with known loads. */
  readonly devices: readonly DeviceFacts[];
  /** Rows that no analysis uses, by reason. */
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
}

/** A figure with its files. */
export interface FigureFacts {
  /** Id of the figure in its notebook. */
  readonly id: string;
  /** Name of its files, without extension. */
  readonly file: string;
  /** Legend. */
  readonly caption: string;
  /** Alternative text. */
  readonly alt: string;
  /** Drawing as SVG. */
  readonly svg: string;
  /** The same as PNG. */
  readonly png: Uint8Array;
}

/** A candidate conclusion and what its finding says about it. */
export interface ClaimFacts {
  /** Id of the claim. */
  readonly id: string;
  /** The conclusion as a sentence. */
  readonly statement: string;
  /** Id of the finding behind it. */
  readonly finding: string;
  /** "supported", "contradicted" or "not settled". */
  readonly support: string;
  /** The plan named it before the data were seen. */
  readonly planned: boolean;
}

/** A finding as the text uses it. */
export interface ResultFacts {
  /** Id of the finding. */
  readonly id: string;
  /** Noun phrase that stands alone. */
  readonly title: string;
  /** The value in `unit`; left out where the data cannot answer. */
  readonly value?: number | undefined;
  /** Lower confidence limit. */
  readonly low?: number | undefined;
  /** Upper confidence limit. */
  readonly high?: number | undefined;
  /** Confidence level as a fraction. */
  readonly level?: number | undefined;
  /** Two-sided p value. */
  readonly p?: number | undefined;
  /** Unit of value and limits; "" for a pure number. */
  readonly unit: string;
  /** Kind of number; the value of a "test" is a p value. */
  readonly quantity?: string | undefined;
  /** How many the value rests on, and the noun. */
  readonly count: { readonly n: number; readonly of: string };
  /** How it was computed. */
  readonly method: string;
  /** The plan named it; undefined where the question does not arise. */
  readonly planned?: boolean | undefined;
  /** What a reader must know, as sentences. */
  readonly warnings: readonly string[];
  /** Why the data cannot answer, as one sentence. */
  readonly unanswered?: string | undefined;
  /** Those whose absence changes the conclusion. */
  readonly changesConclusion: readonly string[];
  /** What is left out: golfers or studies. */
  readonly leaving: string;
  /** Values to compare it with. */
  readonly references: readonly { readonly name: string; readonly value: number }[];
}

/** One notebook of the study: its question and what it found. */
export interface QuestionFacts {
  /** Path of the notebook. */
  readonly notebook: string;
  /** The question, as the notebook's title says it. */
  readonly title: string;
  /** Version of the notebook. */
  readonly version: string;
  /** Every version the record knows, oldest first. */
  readonly versions: readonly string[];
  /** Its findings in order. */
  readonly results: readonly ResultFacts[];
  /** Its candidate conclusions in order. */
  readonly claims: readonly ClaimFacts[];
  /** The figures that the manuscript shows. */
  readonly figures: readonly FigureFacts[];
}

/** One item of a reporting checklist. */
export interface ChecklistItem {
  /** Name of the checklist. */
  readonly guideline: string;
  /** Number of the item. */
  readonly id: string;
  /** What the item is about. */
  readonly matter: string;
}

/** Everything a manuscript is written from. */
export interface ManuscriptFacts {
  /** The study. */
  readonly study: StudyFacts;
  /** Its questions, in the order of the notebooks. */
  readonly questions: readonly QuestionFacts[];
  /** Items of the reporting checklists. */
  readonly checklist: readonly ChecklistItem[];
  /** Programs that made the numbers, with their versions. */
  readonly programs: readonly { readonly name: string; readonly version: string }[];
  /** Day of the newest record, ISO; it dates the file. */
  readonly day: string;
}

/** The same for every place where a notebook shows one result: its title, method and value. */
export function sameResultKey({ title, method, value }: ResultFacts): string {
  return JSON.stringify([title, method, value]);
}
