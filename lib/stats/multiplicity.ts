import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { frozen, type Numbers } from "./estimate.js";
import { numbers, oneOf } from "./input.js";

/** How p values of one family of tests are adjusted. */
export type Adjustment = "holm" | "hochberg" | "bonferroni" | "benjamini-hochberg";

/**
 * P values adjusted for being one of several.
 *
 * With m values ordered p₍₁₎ ≤ … ≤ p₍ₘ₎: "bonferroni" m·p; "holm" the running maximum of
 * (m − i + 1)p₍ᵢ₎ from the smallest up; "hochberg" the running minimum of the same from the largest
 * down; "benjamini-hochberg" the running minimum of (m/i)p₍ᵢ₎ from the largest down, which controls
 * the false discovery rate, not the chance of any false positive. None exceeds 1.
 *
 * @param p two-sided p values, each from 0 to 1, at least one
 * @param method Holm where none is named
 * @returns adjusted p values in the order given
 * @throws InputError when a value is not between 0 and 1 or the method is not one of the four
 * @see Holm (1979) Scand J Stat 6:65–70; Hochberg (1988) Biometrika 75:800–802;
 *   Benjamini & Hochberg (1995) J R Stat Soc B 57:289–300
 * @example adjustP([0.01, 0.04, 0.03], "holm") // [0.03,0.06,0.06]
 */
export function adjustP(p: Numbers, method: Adjustment = "holm"): readonly number[] {
  const values = numbers(p, "adjustP");
  values.forEach((value, i) => {
    if (value < 0 || value > 1) {
      throw new InputError({
        expected: "a p value from 0 to 1",
        got: String(value),
        where: `adjustP, index ${i}`,
      });
    }
  });
  oneOf(method, ["holm", "hochberg", "bonferroni", "benjamini-hochberg"], "adjustP, method");
  const m = values.length;
  if (method === "bonferroni") return frozen(Array.from(values, (value) => Math.min(1, m * value)));
  const order = Array.from(values.keys()).sort((a, b) => realAt(values, a) - realAt(values, b));
  const weighed = order.map((at, i) =>
    method === "benjamini-hochberg"
      ? (m / (i + 1)) * realAt(values, at)
      : (m - i) * realAt(values, at),
  );
  const monotone = method === "holm" ? runningMaximum(weighed) : runningMinimum(weighed);
  const adjusted = new Array<number>(m);
  order.forEach((at, i) => {
    adjusted[at] = Math.min(1, itemAt(monotone, i));
  });
  return frozen(adjusted);
}

function runningMaximum(x: readonly number[]): number[] {
  let most = 0;
  return x.map((value) => {
    most = Math.max(most, value);
    return most;
  });
}

/** The smallest of each value and all after it. */
function runningMinimum(x: readonly number[]): number[] {
  let least = 1;
  return [...x]
    .reverse()
    .map((value) => {
      least = Math.min(least, value);
      return least;
    })
    .reverse();
}
