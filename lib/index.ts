export * from "./errors.js";
export type { Estimate, Interval, Labels, Numbers } from "./stats/estimate.js";
export type { AmountRange, AmountRangeLike } from "./swing/amount.js";
export { type ClubLength, clubLength } from "./swing/club.js";
export {
  type FrictionNeeded,
  frictionNeeded,
  type HoldDemand,
  holdDemand,
  shareOfMaximum,
} from "./swing/hold.js";
export { type PlayLevel, playLevels } from "./swing/levels.js";
export { type ClubPull, clubPull, type PullInput, type Swinger } from "./swing/pull.js";
export { conversionFactor, convert } from "./units/convert.js";
export { type Quantity, readUnit, type Unit, type UnitSymbol, unitsKnown } from "./units/unit.js";
