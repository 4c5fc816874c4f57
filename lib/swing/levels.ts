/** What the trade says of a level of play. Nobody has published where it comes from. */
export interface PlayLevel {
  readonly kind: "playLevel";
  readonly level: string;
  /** Grip of one hand that is said to be usual, kgf. */
  readonly gripKgf: number;
  readonly source: string;
}

const noSource = "common practice, no source";

const levels: readonly PlayLevel[] = Object.freeze(
  (
    [
      ["club amateurs", 40],
      ["tour players", 62],
      ["long-drive specialists", 80],
    ] as const
  ).map(([level, gripKgf]) =>
    Object.freeze({ kind: "playLevel" as const, level, gripKgf, source: noSource }),
  ),
);

/**
 * Grip strengths that the trade gives for levels of play, kgf for one hand. Common practice with no
 * source: draw them as hearsay beside measured data, never as targets or norms.
 * @see normPercentile for published norms by age and sex
 * @example playLevels().map((l) => l.gripKgf) // [40,62,80]
 */
export function playLevels(): readonly PlayLevel[] {
  return levels;
}
