import { InputError } from "../errors.js";
import { shown } from "./input.js";

/**
 * Fisher's z of a correlation, artanh r.
 * @throws InputError when r is not strictly between −1 and 1
 * @see Fisher (1921) Metron 1:3–32
 * @example fisherZ(0.446) // 0.4797…
 */
export function fisherZ(r: number): number {
  if (typeof r === "number" && Math.abs(r) < 1) return Math.atanh(r);
  const expected = "a correlation strictly between −1 and 1";
  throw new InputError({ expected, got: shown(r), where: "fisherZ" });
}

/**
 * The correlation of a Fisher z, tanh z. Reviews often print a pooled z under a name such as z_r: it
 * is not an r, and read as one it overstates.
 * @throws InputError when z is not a finite number
 * @see Fisher (1921) Metron 1:3–32
 * @example correlationOfZ(0.48) // 0.4462…
 */
export function correlationOfZ(z: number): number {
  if (typeof z === "number" && Number.isFinite(z)) return Math.tanh(z);
  const expected = "a finite number";
  throw new InputError({ expected, got: shown(z), where: "correlationOfZ" });
}
