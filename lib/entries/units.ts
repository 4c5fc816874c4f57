/**
 * Units with exact conversions, and the mechanics of the club and the hands.
 * @module tautline/units
 */

export * from "../errors.js";
export type { AmountRange, AmountRangeLike } from "../swing/amount.js";
export { type ClubLength, clubLength } from "../swing/club.js";
export {
  type FrictionNeeded,
  frictionNeeded,
  type HoldDemand,
  holdDemand,
  type ShareNeeded,
  shareNeeded,
  shareOfMaximum,
} from "../swing/hold.js";
export { type ClubPull, clubPull, type PullInput, type Swinger } from "../swing/pull.js";
export { conversionFactor, convert } from "../units/convert.js";
export { type Quantity, readUnit, type Unit, type UnitSymbol, unitsKnown } from "../units/unit.js";
