/** Planned analyses that do not hold 94 to 97 % at n = 9 to 24, by function and condition. */
export const exceptions: readonly {
  readonly function: string;
  readonly condition: string;
  readonly n?: readonly number[];
  readonly why: string;
}[];
