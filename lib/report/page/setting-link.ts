/** The part of an address that leads to a simulation in a certain state. */
import type { Control, Settings } from "../../show/lesson-outputs.js";
export function settingHash(id: string, settings: Settings, seed: number): string {
  const parts = new URLSearchParams(
    Object.entries({ ...settings, seed }).map(([name, value]) => [name, String(value)]),
  );
  return `#${id}?${parts}`;
}

function allowed(control: Control, text: string): number | string | undefined {
  if (control.kind === "choice") {
    return control.options.some(({ value }) => value === text) ? text : undefined;
  }
  const value = text.trim() === "" ? Number.NaN : Number(text);
  return value >= control.low && value <= control.high ? value : undefined;
}

/**
 * The setting that an address names for a simulation; undefined where it names another place. A
 * value that is not allowed is left where it was.
 */
export function linkedSetting(
  hash: string,
  id: string,
  controls: readonly Control[],
): { settings: Settings; seed?: number } | undefined {
  if (!hash.startsWith(`#${id}?`)) return undefined;
  const parts = new URLSearchParams(hash.slice(id.length + 2));
  const entries = controls.flatMap((control) => {
    const text = parts.get(control.name);
    const value = text === null ? undefined : allowed(control, text);
    return value === undefined ? [] : [[control.name, value] as const];
  });
  const seed = Number(parts.get("seed") ?? Number.NaN);
  const whole = Number.isSafeInteger(seed) && seed >= 0;
  return { settings: Object.fromEntries(entries), ...(whole && { seed }) };
}
