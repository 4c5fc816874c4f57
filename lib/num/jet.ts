/** A number that moves along a curve, exact to second order: value, first and second derivative. */
export type Jet = readonly [value: number, first: number, second: number];

/** A number that stays. */
export function still(value: number): Jet {
  return [value, 0, 0];
}

export function sumOf(...jets: readonly Jet[]): Jet {
  let [value, first, second] = [0, 0, 0];
  for (const jet of jets) {
    value += jet[0];
    first += jet[1];
    second += jet[2];
  }
  return [value, first, second];
}

export function scaled(a: Jet, factor: number): Jet {
  return [factor * a[0], factor * a[1], factor * a[2]];
}

export function productOf(a: Jet, b: Jet): Jet {
  return [a[0] * b[0], a[0] * b[1] + a[1] * b[0], a[0] * b[2] + 2 * a[1] * b[1] + a[2] * b[0]];
}

export function ratioOf(a: Jet, b: Jet): Jet {
  const value = a[0] / b[0];
  const first = (a[1] - value * b[1]) / b[0];
  return [value, first, (a[2] - 2 * first * b[1] - value * b[2]) / b[0]];
}

/** Square root of a positive number that moves. */
export function rootOf(a: Jet): Jet {
  const value = Math.sqrt(a[0]);
  const first = a[1] / (2 * value);
  return [value, first, (a[2] - 2 * first * first) / (2 * value)];
}

/** Natural logarithm of a positive number that moves. */
export function logOf(a: Jet): Jet {
  const first = a[1] / a[0];
  return [Math.log(a[0]), first, a[2] / a[0] - first * first];
}
