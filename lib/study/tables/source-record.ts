/** The rows a number rests on, for a finding's `source`. */
export interface SourceRecord {
  /** Files by their paths in the study folder. */
  readonly files: readonly string[];
  /** Rows that the number rests on. */
  readonly rowsUsed: number;
  /** Rows that no analysis uses, by reason. */
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
  /** Codes of the golfers it is about. */
  readonly participants: readonly string[];
}
