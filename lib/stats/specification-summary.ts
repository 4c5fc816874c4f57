import { itemAt, present, realAt } from "../entry.js";
import { orderedQuantile } from "./describe.js";
import { frozen } from "./estimate.js";
import type { SpecificationCurve } from "./specification.js";

/** The specifications that made one choice in one way. */
export interface ChoiceLine {
  /** What was chosen, such as "scale", and how, such as "log". */
  readonly choice: string;
  /** How it was chosen. */
  readonly option: string;
  /** Number of specifications with that choice. */
  readonly specifications: number;
  /** Lowest, middle and highest effect among them, in percent. */
  readonly low: number;
  /** Median effect among them, in percent. */
  readonly median: number;
  /** Highest effect among them, in percent. */
  readonly high: number;
  /** Share of them whose interval excludes zero on the side of the curve's median. */
  readonly excludingZero: number;
}

/**
 * A specification curve told choice by choice: how far each way of choosing moves the effect.
 * @param curve from `specificationCurve`
 * @returns one line for each option of each choice, in the order of the choices, effects in percent
 * @see Simonsohn, Simmons, Nelson (2020) Nature Human Behaviour 4:1208–1214
 * @example summariseSpecifications(specificationCurve({ data: { rule: ["mean"] }, columns: () => ({ participant: ["a", "b", "c", "d"], before: [40, 42, 41, 43], after: [44, 46, 41, 43], arm: ["t", "t", "c", "c"] }), reference: "c", planned: { rule: "mean", scale: "raw", adjust: "change", centre: "mean" } }, { resamples: 20, seed: 1 })).length // 8
 */
export function summariseSpecifications({
  specifications,
  median,
}: SpecificationCurve): readonly ChoiceLine[] {
  const names = Object.keys(itemAt(specifications, 0).choice);
  return frozen(
    names.flatMap((name) => {
      const options = [
        ...new Set(specifications.map(({ choice }) => present(choice[name]))),
      ].sort();
      return options.map((option) => {
        const withOption = specifications.filter(({ choice }) => choice[name] === option);
        const values = Float64Array.from(withOption, ({ value }) => value).sort();
        const clear = withOption.filter(({ interval }) =>
          median > 0 ? interval.low > 0 : interval.high < 0,
        );
        return {
          choice: name,
          option,
          specifications: withOption.length,
          low: realAt(values, 0),
          median: orderedQuantile(values, 0.5, 7),
          high: present(values.at(-1)),
          excludingZero: clear.length / withOption.length,
        };
      });
    }),
  );
}
