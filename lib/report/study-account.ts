import type { PeopleFlow } from "../study/tables/flow.js";
import type { ArmTraining } from "../study/tables/training-by-arm.js";

export type { ArmFlow, PeopleFlow } from "../study/tables/flow.js";
export type { ArmTraining } from "../study/tables/training-by-arm.js";

/** A study as the report tells it: plain JSON that the command line makes from the opened study. */
export interface StudyAccount {
  readonly name: string;
  readonly title: string;
  readonly question?: string | undefined;
  /** The data were made by a simulator. */
  readonly simulated: boolean;
  readonly licence?: string | undefined;
  readonly design: AccountDesign;
  readonly plan: AccountPlan;
  readonly cautions: readonly string[];
  readonly changes: readonly { readonly on: string; readonly what: string; readonly why: string }[];
  /** What the study's authors state for a reporting item, by its name: "consort 2", "cert 7a". */
  readonly statements: Readonly<Record<string, string>>;
  readonly flow: PeopleFlow;
  /** First and last day on which anything was measured. */
  readonly dates?: { readonly first: string; readonly last: string } | undefined;
  /** What the training log holds, arm by arm. */
  readonly training: readonly ArmTraining[];
  readonly people: readonly { readonly label: string; readonly says: string }[];
  readonly files: readonly AccountFile[];
  readonly issues: readonly AccountIssue[];
  readonly setAside: readonly AccountSetAside[];
}

export interface AccountDesign {
  readonly arms: readonly {
    readonly id: string;
    readonly title: string;
    readonly control?: boolean | undefined;
  }[];
  readonly occasions: readonly {
    readonly id: string;
    readonly week: number;
    readonly title: string;
  }[];
  readonly hands: readonly string[];
  readonly positions: readonly {
    readonly id: string;
    readonly title: string;
    readonly how?: string | undefined;
  }[];
  readonly clubs: readonly string[];
  readonly gripTrials: number;
  readonly swings: number;
  readonly restSeconds?: number | undefined;
}

export interface AccountPlan {
  readonly decidedOn?: string | undefined;
  readonly primary?: string | undefined;
  readonly gripRule: string;
  readonly speedRule: string;
  readonly level: number;
  readonly seed: number;
  readonly smallestWorthwhile: Readonly<Record<string, number>>;
}

export interface AccountFile {
  readonly path: string;
  readonly rows: number;
  readonly used: number;
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
  readonly sha256: string;
  readonly bytes: number;
}

export interface AccountIssue {
  readonly severity: string;
  readonly file: string;
  readonly row: number;
  readonly column: string;
  readonly message: string;
  readonly value: string;
  readonly expected: string;
}

export interface AccountSetAside {
  readonly file: string;
  readonly row: number;
  readonly participant: string;
  readonly what: string;
  readonly reason: string;
}
