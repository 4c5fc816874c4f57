export * from "./errors.js";
export type { Estimate, Interval, Labels, Numbers } from "./stats/estimate.js";
export { conversionFactor, convert } from "./units/convert.js";
export { type Quantity, readUnit, type Unit, type UnitSymbol, unitsKnown } from "./units/unit.js";
