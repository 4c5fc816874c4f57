export * from "./errors.js";
export type { Estimate, Interval, Labels, Numbers } from "./stats/estimate.js";
