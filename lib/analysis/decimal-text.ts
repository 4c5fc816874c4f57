/**
 * A number in a sentence, with a fixed count of decimals and a true minus sign (U+2212). A value that
 * rounds to zero has no sign.
 */
export function decimalText(value: number, decimals: number): string {
  const digits = Math.abs(value).toFixed(decimals);
  return value < 0 && /[1-9]/.test(digits) ? `−${digits}` : digits;
}
