/** What a notebook may use. */
export interface RunLimits {
  /** Seconds that one cell may take before it is interrupted. */
  readonly cellSeconds: number;
  /** Megabytes that the kernel may hold. */
  readonly memoryMegabytes: number;
}

/** Limits of a run when none are given: 120 s per cell and 2048 MB per kernel. */
export const usualLimits: RunLimits = { cellSeconds: 120, memoryMegabytes: 2048 };
