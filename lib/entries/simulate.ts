/**
 * Studies simulated from known truth, with the invented demo studies.
 * @module tautline/simulate
 */

export type { Delimiter } from "../csv-writing.js";
export * from "../errors.js";
export type {
  Arm,
  Occasion,
  PlanChange,
  Position,
  PrimaryPlan,
  StudyDesign,
  StudyPlan,
} from "../study/package/design.js";
export type { ResourceName } from "../study/package/dictionary.js";
export { coachNine, demoStudies, winterBlock } from "../study/simulate/demo.js";
export type { DeviceExport } from "../study/simulate/device-export.js";
export { inventStudy } from "../study/simulate/simulate.js";
export type {
  SimulatedArm,
  SimulatedFault,
  SimulatedStudy,
  SimulationOptions,
  TrueVisit,
  Withdrawal,
} from "../study/simulate/simulation.js";
export type { GripRule, RuleChoice, SpeedRule } from "../study/tables/rules.js";
export type { Hand } from "../study/tables/table-rows.js";
