/**
 * Studies simulated from known truth, with the invented demo studies.
 * @packageDocumentation
 */

export * from "../errors.js";
export { coachNine, demoStudies, winterBlock } from "../study/simulate/demo.js";
export { simulateStudy } from "../study/simulate/simulate.js";
export type {
  SimulatedArm,
  SimulatedStudy,
  SimulationOptions,
  TrueVisit,
} from "../study/simulate/simulation.js";
