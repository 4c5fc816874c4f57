export const SEED: number;

/** One row of the table: how often an interval held the truth, or a test rejected a true null. */
export interface CoverageRow {
  readonly function: string;
  readonly what: string;
  readonly kind: "coverage" | "type I error";
  /** People, or studies where a function pools these. */
  readonly n: number;
  readonly condition: string;
  readonly nominal: number;
  /** Share of the replicates that gave an answer; null when none did. */
  readonly share: number | null;
  /** Standard error of the share by simulation. */
  readonly mcError: number | null;
  /** Studies that gave an answer, and studies that the function refused or left without interval. */
  readonly replicates: number;
  readonly refused: number;
  readonly planned: boolean;
}

export function coverageRows(options: {
  scale?: number;
  threads?: number;
  only?: string;
  planned?: boolean;
  progress?: (text: string) => void;
}): Promise<{ rows: CoverageRow[]; seconds: Map<string, number> }>;
export function holdsPromise(row: CoverageRow): boolean;
export function coverageCsv(rows: readonly CoverageRow[]): string;
