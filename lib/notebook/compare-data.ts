/** The size of a finding's numbers, and how far its author lets them move. */
export interface Allowance {
  /** Largest permitted change of the estimate and its limits, in the unit of the finding. */
  readonly tolerance: number;
  /** Size of the estimate and its limits together: a value near zero is rounded like its limits. */
  readonly scale: number;
}

/** What two JSON values come to. */
export interface DataVerdict {
  /** Equal, different only within rounding or the tolerance, or different. */
  readonly verdict: "same" | "within tolerance" | "different";
  /** The first difference, as a path and both values. */
  readonly difference?: string;
  /** Largest difference of two numbers; left out when nothing moved. */
  readonly largest?: number;
}

type Json = Record<string, unknown>;

/** The numbers of a finding that its own tolerance is for. */
export const estimateKeys = ["value", "low", "high"] as const;

/** Numbers that differ by less than this share of their neighbours' size are rounding. */
const relativeTolerance = 1e-9;
/** A sum over a list is rounded like its largest member, so a member near zero may move this much. */
const listTolerance = 1e-13;

/** Compares two JSON trees side by side; the order of an object's keys does not matter. */
export function compareData(before: unknown, after: unknown, estimate?: Allowance): DataVerdict {
  const walk = new Walk(estimate);
  walk.compare(before, after, "", 0);
  if (walk.first !== undefined) {
    return { verdict: "different", difference: walk.first, largest: walk.largest };
  }
  if (walk.largest === 0) return { verdict: "same" };
  return { verdict: "within tolerance", largest: walk.largest };
}

class Walk {
  first: string | undefined;
  largest = 0;
  private readonly estimate: Allowance | undefined;

  constructor(estimate: Allowance | undefined) {
    this.estimate = estimate;
  }

  /** @param scale size of the numbers around, against which rounding is measured */
  compare(before: unknown, after: unknown, path: string, scale: number): void {
    if (before === after) return;
    if (typeof before === "number" && typeof after === "number") {
      this.numbers(before, after, path, scale);
    } else if (Array.isArray(before) && Array.isArray(after)) {
      this.lists(before, after, path);
    } else if (isRecord(before) && isRecord(after)) {
      this.records(before, after, path);
    } else if (typeof before === "string" && typeof after === "string") {
      this.differ(path, apart(before, after).join(" → "));
    } else {
      this.differ(path, `${shown(before)} → ${shown(after)}`);
    }
  }

  private numbers(before: number, after: number, path: string, scale: number): void {
    const difference = Math.abs(before - after);
    if (difference > this.largest) this.largest = difference;
    const ofEstimate = (estimateKeys as readonly string[]).includes(path)
      ? this.estimate
      : undefined;
    const sizes = [before, after, ofEstimate?.scale ?? 0].map(Math.abs);
    const rounding = relativeTolerance * Math.max(...sizes) + listTolerance * scale;
    // a decimal tolerance such as 0.1 is met by 2.6 and 2.7, whose difference is a little more
    if (difference > (ofEstimate?.tolerance ?? 0) * (1 + relativeTolerance) + rounding) {
      this.differ(path, numbersApart(before, after).join(" → "));
    }
  }

  private lists(before: unknown[], after: unknown[], path: string): void {
    if (before.length !== after.length) {
      this.differ(path, `${before.length} → ${after.length} entries`);
      return;
    }
    const scale = sizeOf(before);
    before.forEach((part, i) => {
      this.compare(part, after[i], `${path}[${i}]`, scale);
    });
  }

  private records(before: Json, after: Json, path: string): void {
    const at = (key: string) => (path ? `${path}.${key}` : key);
    for (const key of Object.keys(before)) {
      if (!Object.hasOwn(after, key)) this.differ(at(key), "no longer there");
      else this.compare(before[key], after[key], at(key), 0);
    }
    for (const key of Object.keys(after)) {
      if (!Object.hasOwn(before, key)) this.differ(at(key), "new");
    }
  }

  private differ(path: string, what: string): void {
    this.first ??= path ? `${path}: ${what}` : what;
  }
}

/**
 * Two numbers with as many digits as a reader needs to see that they differ: at least three
 * significant ones, down to the digit of their difference. Whole numbers keep all their digits.
 */
export function numbersApart(before: number, after: number): [string, string] {
  if (Number.isSafeInteger(before) && Number.isSafeInteger(after)) {
    return [signed(String(before)), signed(String(after))];
  }
  const size = Math.max(Math.abs(before), Math.abs(after));
  const gap = Math.abs(before - after);
  const leading = (x: number) => Math.floor(Math.log10(x));
  // 123.5 − 123.4 is a little below 0.1 in binary, and still a difference of one tenth
  const digits = gap === 0 ? 3 : Math.max(3, leading(size) - leading(gap * (1 + 1e-9)) + 1);
  const places = digits - 1 - leading(size);
  const written = (x: number) =>
    leading(size) < -4 || leading(size) > 8
      ? x.toPrecision(digits)
      : x.toFixed(Math.max(0, places));
  return [signed(written(before)), signed(written(after))];
}

/** With a minus sign as printed numbers have it, not a hyphen. */
function signed(text: string): string {
  return text.replace(/-/g, "−");
}

/** Largest absolute number of a list. */
export function sizeOf(list: readonly unknown[]): number {
  let most = 0;
  for (const part of list) {
    if (typeof part === "number" && Math.abs(part) > most) most = Math.abs(part);
  }
  return most;
}

function isRecord(value: unknown): value is Json {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

/**
 * Two different texts from a little before the place where they part, so that a reader sees the
 * difference.
 */
function apart(before: string, after: string): [string, string] {
  let i = 0;
  while (before[i] === after[i]) i++;
  const from = i <= 40 ? 0 : i - 20;
  return [piece(before, from), piece(after, from)];
}

function piece(text: string, from: number): string {
  const part = text.slice(from, from + 56);
  return JSON.stringify(`${from > 0 ? "…" : ""}${part}${from + 56 < text.length ? "…" : ""}`);
}

function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? "nothing";
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
