/** What the trade says of a level of play. Nobody has published where it comes from. */
export interface PlayLevel {
  /** Name of the record. */
  readonly kind: "playLevel";
  /** Name of the group of players. */
  readonly level: string;
  /** Grip of one hand that is said to be usual, kgf. */
  readonly gripKgf: number;
  /** Where the figure is from, or that it has no source. */
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

/** Sayings of the trade that a study can be held against. None has a source. */
export interface TradeSayings {
  /** Name of the record. */
  readonly kind: "tradeSayings";
  /** A golfer near this grip who swings faster than this is said to be short of hold. */
  readonly shortOfHold: { readonly gripKgf: number; readonly speedMph: number };
  /** A tour swing is said to use this share of the maximum, and this force. */
  readonly tourSwing: {
    readonly sharePercent: number;
    readonly forceKgf: { readonly low: number; readonly high: number };
  };
  /** Where the figures are from, or that they have no source. */
  readonly source: string;
}

const sayings: TradeSayings = Object.freeze({
  kind: "tradeSayings",
  shortOfHold: Object.freeze({ gripKgf: 40, speedMph: 100 }),
  tourSwing: Object.freeze({
    sharePercent: 50,
    forceKgf: Object.freeze({ low: 30, high: 35 }),
  }),
  source: noSource,
});

/**
 * What the trade says of grip in the swing, as numbers that can be checked. Common practice with no
 * source: show what a saying would need to be true, never use it as a requirement.
 * @see frictionNeeded and shareNeeded for what a saying would need
 * @example tradeSayings().shortOfHold // ({ gripKgf: 40, speedMph: 100 })
 */
export function tradeSayings(): TradeSayings {
  return sayings;
}
