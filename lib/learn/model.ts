import { present } from "../entry.js";
import { InputError } from "../errors.js";
import type { RandomStream } from "../num/random.js";
import type { ChoiceControl, Control, NumberControl, Settings } from "../show/lesson-outputs.js";
import type { Picture } from "../show/picture.js";
import { deepFrozen } from "../show/record.js";
import { quantile } from "../stats/describe.js";
import { requiredSeed } from "../stats/input.js";
import type { Language } from "./words/language.js";
import { modelWords } from "./words/model-languages.js";
import type { ModelWords, ShownChoice } from "./words/model-words.js";

/** What a model makes of its settings: a picture, the result as a sentence, its numbers. */
export interface PlayedOutcome {
  /** The drawing as data. */
  readonly picture: Picture;
  /** The result in words. */
  readonly sentence: string;
  /** What the picture shows, for readers who cannot see it. */
  readonly alt: string;
  /** The numbers behind the sentence, by name. */
  readonly results: Readonly<Record<string, number>>;
}

/** A model that was run once: what `simulation` shows. */
export interface Played extends PlayedOutcome {
  /** Name of the model. */
  readonly model: string;
  /** What the reader may change. */
  readonly controls: readonly Control[];
  /** Value of each control, by name. */
  readonly settings: Settings;
  /** Seed of the random numbers: the same seed gives the same picture. */
  readonly seed: number;
  /** False where nothing is drawn at random and the seed has no part. */
  readonly chance: boolean;
  /** Language of the words, by its ISO 639-1 code. */
  readonly language: string;
}

/** Something to play with: controls, and a function that draws its studies from a seed. */
export interface Model<N extends string = string, W extends string = string> {
  /** Names the model among all models. */
  readonly name: string;
  /** What the reader may change, in the words of a language. */
  controls(says: ModelWords): readonly Control[];
  /** False where nothing is drawn at random. */
  readonly chance?: boolean;
  /** @param numbers by control, words by choice: checked; says: the words of a language */
  run(
    numbers: Readonly<Record<N, number>>,
    words: Readonly<Record<W, string>>,
    seed: number,
    says: ModelWords,
  ): PlayedOutcome;
}

/** Studies that one setting simulates. */
export const studies = 200;

/** A numeric control in one line. */
export function dial(
  name: string,
  label: string,
  unit: string,
  [low, start, high, step]: readonly [number, number, number, number],
): NumberControl {
  return { kind: "number", name, label, unit, low, high, step, start };
}

/** A choice in one line: its ways in the order of their words, the first at the start. */
export function choice<Value extends string>(
  name: string,
  label: string,
  ways: Readonly<Record<Value, string>>,
  start: Value,
): ChoiceControl {
  const options = Object.entries<string>(ways).map(([value, label]) => ({ value, label }));
  return { kind: "choice", name, label, options, start };
}

/** One study at a time, or all of them: what a picture shows. */
export function shownControl(label: string, ways: ShownChoice): ChoiceControl {
  return choice("shown", label, ways, "all");
}

function checkedNumber(control: NumberControl, value: unknown, where: string): number {
  const { name, low, high } = control;
  if (typeof value === "number" && value >= low && value <= high) return value;
  throw new InputError({
    expected: `${name} from ${low} to ${high}`,
    got: String(value),
    where,
  });
}

function checkedChoice({ name, options }: ChoiceControl, value: unknown, where: string): string {
  if (options.some((option) => option.value === value)) return value as string;
  const expected = `${name} to be ${options.map((option) => `"${option.value}"`).join(" or ")}`;
  throw new InputError({ expected, got: String(value), where });
}

function checkNames(controls: readonly Control[], given: Settings, where: string): void {
  const known = controls.map(({ name }) => name);
  const odd = Object.keys(given).find((name) => !known.includes(name));
  if (odd === undefined) return;
  throw new InputError({ expected: `one of ${known.join(", ")}`, got: odd, where });
}

/** Runs a model: settings that are left out start where their control starts. */
export function play(model: Model, given: Settings, seed: number, language: Language): Played {
  const where = `simulation ${model.name}`;
  const says = modelWords(language);
  const controls = model.controls(says);
  checkNames(controls, given, where);
  const numbers: Record<string, number> = {};
  const words: Record<string, string> = {};
  for (const control of controls) {
    const value = given[control.name] ?? control.start;
    if (control.kind === "number") numbers[control.name] = checkedNumber(control, value, where);
    else words[control.name] = checkedChoice(control, value, where);
  }
  requiredSeed(seed, model.name);
  const outcome = model.run(numbers, words, seed, says);
  const { name, chance = true } = model;
  const settings = { ...numbers, ...words };
  return deepFrozen({ model: name, controls, settings, seed, chance, language, ...outcome });
}

/** The central 95 % of simulated results. */
export function central95(values: readonly number[]): { low: number; high: number } {
  return { low: quantile(values, 0.025), high: quantile(values, 0.975) };
}

/** A number as a page reads it; what a picture holds need not be finer. */
export function short(value: number): number {
  return Number(value.toPrecision(5));
}

/**
 * The mean of `count` readings with a normal error each, about a true value. It is drawn at once:
 * such a mean is itself normal, with the error divided by √count.
 */
export function meanReading(
  stream: RandomStream,
  truth: number,
  error: number,
  count: number,
): number {
  return truth + (error / Math.sqrt(count)) * stream.normal();
}

/** Limits for an axis that hold `size` on either side, so that small moves of a slider keep it. */
export function roomFor(size: number, steps: readonly number[]): number {
  return steps.find((step) => step >= size) ?? present(steps.at(-1));
}

/** The usual limits of an axis, moved outwards by whole steps until every value is inside. */
export function axisHolding(
  values: readonly number[],
  [low, high]: readonly [number, number],
  step: number,
): { low: number; high: number } {
  const least = Math.min(...values) - step / 4;
  const most = Math.max(...values) + step / 4;
  return {
    low: least < low ? low - step * Math.ceil((low - least) / step) : low,
    high: most > high ? high + step * Math.ceil((most - high) / step) : high,
  };
}
