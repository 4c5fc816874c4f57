/** What every plan of a study's size needs: its inputs checked, and the search for the smallest size. */
import { InputError } from "../errors.js";
import { noncentralT, studentT } from "../num/distributions.js";
import { shown } from "./input.js";

/** No study here is larger; past this the question is put wrongly. */
const MOST = 1e9;

/** Smallest whole number from `least` that is enough, given that every larger one is too. */
export function smallest(enough: (n: number) => boolean, where: string, least = 2): number {
  let high = least;
  let low = least - 1;
  while (!enough(high)) {
    low = high;
    high = Math.min(2 * high, MOST);
    if (low === MOST) {
      const expected = "a difference that fewer than a billion people could show";
      throw new InputError({ expected, got: "one far smaller than its SD", where });
    }
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** A finite number under its name. */
export function finite(value: number, where: string, name: string): number {
  if (Number.isFinite(value)) return value;
  throw new InputError({
    expected: "a finite number",
    got: shown(value),
    where: `${where}, ${name}`,
  });
}

/** A positive finite number under its name. */
export function positive(value: number, where: string, name: string): number {
  if (Number.isFinite(value) && value > 0) return value;
  throw new InputError({
    expected: "a positive number",
    got: shown(value),
    where: `${where}, ${name}`,
  });
}

/** The power asked, as a fraction; 0.8 where none is named. */
export function wantedPower(power: number | undefined, where: string): number {
  const wanted = power ?? 0.8;
  if (typeof wanted === "number" && wanted > 0 && wanted < 1) return wanted;
  const expected = "a power between 0 and 1, such as 0.8";
  throw new InputError({ expected, got: shown(wanted), where: `${where}, power` });
}

/** An effect other than 0. */
export function detectable(effect: number, where: string): number {
  if (effect !== 0) return effect;
  throw new InputError({
    expected: "a difference other than 0",
    got: "0",
    where: `${where}, difference`,
  });
}

/** Power of a two-sided t test, both tails counted, at a given shift in standard errors. */
export function bothTails(df: number, shift: number, level: number): number {
  const limit = studentT(df).quantile((1 + level) / 2);
  const statistic = noncentralT(df, shift);
  return statistic.upper(limit) + statistic.cdf(-limit);
}

/** People of the second group, at least two; a ratio such as 1.1 must not round 10 × 1.1 up to 12. */
export function secondGroup(n1: number, ratio: number): number {
  return Math.max(2, Math.ceil(n1 * ratio - 1e-9));
}
