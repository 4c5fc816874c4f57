import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { convert } from "../units/convert.js";
import { type AmountRange, notNegative, positive, rangeOf } from "./amount.js";

/** The club and the arms, as far as the pull depends on them. */
export interface Swinger {
  /** Mass of the club head, kg. */
  readonly headKg: number;
  /** Mass of shaft and grip, kg. */
  readonly shaftKg: number;
  /** Middle of the hands to the centre of mass of shaft and grip, m. */
  readonly shaftCentreM: number;
  /** Middle of the hands to the club head, m. */
  readonly clubRadiusM: number;
  /** Centre of the arm swing to the centre of the hands, m. */
  readonly armRadiusM: number;
  /** Speed of the hands at impact as a share of the speed of the head. */
  readonly handShare: number;
}

/** One input of the pull: its value, the range allowed for it, and what that range does alone. */
export interface PullInput {
  /** What it is, in words. */
  readonly name: "speedMps" | keyof Swinger;
  /** The value used. */
  readonly value: number;
  /** Lower limit of plausible values, in the same unit. */
  readonly low: number;
  /** Upper limit of plausible values, in the same unit. */
  readonly high: number;
  /** Pull with only this input moved to either end, N. */
  readonly forceN: AmountRange;
}

/** The pull of a club along its shaft at impact. */
export interface ClubPull {
  /** Name of the function that made it. */
  readonly kind: "clubPull";
  /** Club-head speed, in m/s. */
  readonly speedMps: number;
  /** Pull of the whole club on both hands together, N. */
  readonly forceN: number;
  /** The pull, in kilogram-force. */
  readonly forceKgf: number;
  /** Part of it that the head alone requires, N. */
  readonly headN: number;
  /** Radius of the head's path at impact that this pull stands for, m. */
  readonly radiusM: number;
  /** Independent inputs moved together: shifts added as root of the sum of squares, N. */
  readonly band: AmountRange;
  /** All inputs at their worst ends at once, N. */
  readonly extremes: AmountRange;
  /** Every input with its value and range. */
  readonly inputs: readonly PullInput[];
  /** How the pull was calculated. */
  readonly method: string;
  /** The calculation in words and numbers, a step a line. */
  readonly working: readonly string[];
  /** What is doubtful about the inputs; empty when nothing is. */
  readonly warnings: readonly string[];
}

/**
 * A driver of common size. All six are assumptions (common practice, no source): measure the
 * golfer's own club where it matters. Head 190 to 210 g and whole club 300 to 330 g are what
 * drivers weigh.
 */
const ordinary: Swinger = Object.freeze({
  headKg: 0.2,
  shaftKg: 0.115,
  shaftCentreM: 0.4,
  clubRadiusM: 1.05,
  armRadiusM: 0.65,
  handShare: 0.18,
});

/** How far each assumption may be off, to either side; the golfer's speed is taken as measured. */
const ordinarySlack: Readonly<Record<PullInput["name"], number>> = Object.freeze({
  speedMps: 0,
  headKg: 0.01,
  shaftKg: 0.015,
  shaftCentreM: 0.05,
  clubRadiusM: 0.05,
  armRadiusM: 0.1,
  handShare: 0.05,
});

const names = Object.keys(ordinarySlack) as PullInput["name"][];

/** Club-head speed above which a number is more likely km/h or mph than m/s. */
const fastestPlausibleMps = 75;

/**
 * Pull along the shaft needed to keep a club on its path at impact, on both hands together.
 *
 * Arms and club in line, turning about the centre of the arm swing (the double pendulum):
 * `w = (v − vₕ) / L`, `a(r) = w² r + vₕ² / A`, `F = m_head a(L) + m_shaft a(l)` with v the speed of
 * the head, vₕ that of the hands (a share of v), L hands to head, l hands to the shaft's centre of
 * mass, A radius of the arms. Every term has v², so 10 % more speed asks for 21 % more pull.
 * Weight (about 3 N), bending of the shaft and forces across it are left out, and the hands' real
 * path is not a circle, so the result comes with a band from its inputs and is an estimate, not a
 * measurement.
 * @param input speedMps in m/s; masses in kg, lengths in m, handShare as a fraction; `slack`: how
 *   far each input may be off, in its own unit, to either side
 * @returns forces in newtons, radius in metres, the working in words
 * @throws InputError when an amount is not a positive number, or a range reaches zero
 * @see Penner AR (2003) The physics of golf. Rep Prog Phys 66:131–171 (the double pendulum)
 * @see Nesbit SM, McGinnis R (2009) J Sports Sci Med 8:235–246 (the hands' path is no circle)
 * @example clubPull({ speedMps: 44.704, headKg: 0.2, shaftKg: 0.115 }).forceN // 343.4
 */
export function clubPull(
  input: { speedMps: number } & Partial<Swinger> & {
      slack?: Partial<Record<PullInput["name"], number>>;
    },
): ClubPull {
  knownOptions(input, [...names, "slack"], "clubPull");
  const { slack, ...given } = input;
  knownOptions(slack, names, "clubPull, slack");
  const values = { ...ordinary, ...defined(given) } as Record<PullInput["name"], number>;
  const inputs = names.map((name) => inputRange(name, values, { ...ordinarySlack, ...slack }));
  const forceN = pullOf(values);
  return Object.freeze({
    kind: "clubPull",
    speedMps: values.speedMps,
    forceN,
    forceKgf: convert(forceN, "N", "kgf"),
    headN: values.headKg * headward(values, values.clubRadiusM),
    radiusM: radiusOf(values),
    band: bandOf(forceN, inputs),
    extremes: extremesOf(inputs),
    inputs: Object.freeze(inputs),
    method: "double pendulum in line at impact; root-sum-of-squares band from the inputs",
    working: Object.freeze(workingOf(values, forceN)),
    warnings: Object.freeze(warningsOf(values.speedMps)),
  });
}

function defined<T extends object>(given: T): Partial<T> {
  return Object.fromEntries(
    Object.entries(given).filter(([, value]) => value !== undefined),
  ) as Partial<T>;
}

type Values = Readonly<Record<PullInput["name"], number>>;

/** Acceleration towards the centre of the swing of a point r from the hands, m/s². */
function headward({ speedMps, handShare, clubRadiusM, armRadiusM }: Values, r: number): number {
  const hands = handShare * speedMps;
  const turning = (speedMps - hands) / clubRadiusM;
  return turning * turning * r + (hands * hands) / armRadiusM;
}

function pullOf(values: Values): number {
  const head = values.headKg * headward(values, values.clubRadiusM);
  return head + values.shaftKg * headward(values, values.shaftCentreM);
}

/** v² over the head's acceleration; the speed cancels, so it is defined at rest as well. */
function radiusOf({ handShare, clubRadiusM, armRadiusM }: Values): number {
  return 1 / ((1 - handShare) ** 2 / clubRadiusM + handShare ** 2 / armRadiusM);
}

function inputRange(
  name: PullInput["name"],
  values: Values,
  slack: Readonly<Record<PullInput["name"], number>>,
): PullInput {
  const value = positive(values[name], `clubPull, ${name}`);
  const off = notNegative(slack[name], `clubPull, slack.${name}`);
  const low = positive(value - off, `clubPull, low end of ${name}`);
  const high = name === "handShare" ? share(value + off) : value + off;
  const forces = [low, value, high].map((end) => pullOf({ ...values, [name]: end }));
  return Object.freeze({ name, value, low, high, forceN: rangeOf(forces) });
}

function share(high: number): number {
  if (high < 1) return high;
  const where = "clubPull, high end of handShare";
  throw new InputError({
    expected: "hands slower than the head, a share under 1",
    got: `${high}`,
    where,
  });
}

function bandOf(forceN: number, inputs: readonly PullInput[]): AmountRange {
  const below = inputs.map((one) => forceN - one.forceN.low);
  const above = inputs.map((one) => one.forceN.high - forceN);
  return Object.freeze({ low: forceN - Math.hypot(...below), high: forceN + Math.hypot(...above) });
}

/**
 * Every corner of the box of inputs. The pull rises or falls all the way along each input, except
 * that in handShare it turns at A / (A + L), near 0.4, well above what swings show.
 */
function extremesOf(inputs: readonly PullInput[]): AmountRange {
  let corners: Partial<Record<PullInput["name"], number>>[] = [{}];
  for (const { name, low, high } of inputs) {
    const ends = low === high ? [low] : [low, high];
    corners = corners.flatMap((corner) => ends.map((end) => ({ ...corner, [name]: end })));
  }
  return rangeOf(corners.map((corner) => pullOf(corner as Values)));
}

function workingOf(values: Values, forceN: number): string[] {
  const { speedMps, handShare, clubRadiusM, headKg, shaftKg, shaftCentreM } = values;
  const hands = handShare * speedMps;
  const atHead = headward(values, clubRadiusM);
  const atShaft = headward(values, shaftCentreM);
  return [
    `hands ${hands.toFixed(2)} m/s = ${handShare} × ${speedMps} m/s`,
    `turning ${((speedMps - hands) / clubRadiusM).toFixed(2)} rad/s about the hands`,
    `head ${(headKg * atHead).toFixed(1)} N = ${headKg} kg × ${atHead.toFixed(0)} m/s²`,
    `shaft and grip ${(shaftKg * atShaft).toFixed(1)} N = ${shaftKg} kg × ${atShaft.toFixed(0)} m/s²`,
    `pull ${forceN.toFixed(1)} N = ${convert(forceN, "N", "kgf").toFixed(1)} kgf on both hands together`,
  ];
}

function warningsOf(speedMps: number): string[] {
  if (speedMps <= fastestPlausibleMps) return [];
  return [
    `${speedMps} m/s is faster than any club-head speed known to us: is it mph or km/h? (${fastestPlausibleMps} m/s is ${convert(fastestPlausibleMps, "m/s", "mph").toFixed(0)} mph)`,
  ];
}
