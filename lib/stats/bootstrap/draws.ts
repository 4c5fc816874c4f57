import { itemAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import type { RandomStream } from "../../num/random.js";
import type { Units } from "./units-drawn.js";

/**
 * A statistic of some columns. It receives the columns in the order given, all of one length, and
 * for each row the number of the unit drawn it belongs to (0, 1, 2 …): a person drawn twice has
 * two numbers there, so that a statistic which works person by person counts them as two.
 */
export type Statistic = (columns: Float64Array[], unit: Int32Array) => number;

/** Rows gathered for one call of the statistic; the arrays are used again for the next. */
export interface Sample {
  /** The columns given, with the drawn rows in the order drawn. */
  readonly columns: Float64Array[];
  /** Place of the drawn unit that each row belongs to. */
  readonly unit: Int32Array;
}

/**
 * The statistic of a resample; NaN where it refuses the resample as input, as a correlation does
 * when one row was drawn every time. Other errors pass.
 */
export function statisticOf({ columns, unit }: Sample, statistic: Statistic): number {
  // Not by `unlessRefused`: a function made anew for every resample costs time.
  try {
    return statistic(columns, unit);
  } catch (error) {
    if (error instanceof InputError) return Number.NaN;
    throw error;
  }
}

/** At least so many rows are drawn and gathered at a time. */
const drawnAhead = 2048;

/**
 * Draws, gathers and leaves out units of the same columns, in buffers that are made once. A class
 * for speed alone: its methods are compiled once, closures anew for each bootstrap.
 */
export class Resampler {
  /** Units of the last draw: `count` of them from `from` on. */
  private picks: Int32Array;
  private from = 0;
  /**
   * Draws made ahead, of many resamples at a time: a call to the stream, and the start and end of a
   * loop, cost as much as many rows.
   */
  private readonly ahead: Int32Array;
  /** The rows of the draws made ahead, column by column. */
  private readonly gathered: Float64Array[];
  /**
   * The part of `gathered` that belongs to each draw made ahead; empty where clusters are drawn,
   * which differ in size, or units within strata.
   */
  private readonly samples: Sample[];
  /** Place in `samples` of the next draw. */
  private next = 0;
  private readonly sourceRows: Int32Array;
  private readonly buffers: Float64Array[];
  private readonly unit: Int32Array;
  private readonly drawn: Int32Array[];
  private readonly views = new Map<number, Sample>();
  private lastView: Sample;

  constructor(
    private readonly columns: readonly Float64Array[],
    readonly units: Units,
  ) {
    const { count, start, strata } = units;
    let largest = 0;
    for (let u = 0; u < count; u++)
      largest = Math.max(largest, wholeAt(start, u + 1) - wholeAt(start, u));
    const room = largest * count;
    this.picks = new Int32Array(count);
    this.ahead = new Int32Array(count * Math.ceil(drawnAhead / count));
    this.sourceRows = new Int32Array(room);
    this.buffers = columns.map(() => new Float64Array(room));
    // Single rows are their own units; lists of clusters number theirs afresh each time.
    this.unit = Int32Array.from({ length: room }, (_, i) => i);
    this.drawn = strata.map((members) => new Int32Array(members.length));
    this.lastView = this.viewOf(count);
    const isPlain = units.of === "rows" && strata.length === 1;
    this.gathered = isPlain ? columns.map(() => new Float64Array(this.ahead.length)) : [];
    this.samples = Array.from({ length: isPlain ? this.ahead.length / count : 0 }, (_, place) => ({
      columns: this.gathered.map((all) => all.subarray(place * count, (place + 1) * count)),
      unit: this.lastView.unit,
    }));
  }

  /** All units, as they came. */
  whole(): Sample {
    this.picks = Int32Array.from({ length: this.units.count }, (_, u) => u);
    this.from = 0;
    this.next = this.samples.length;
    return this.again();
  }

  /** A new draw of as many units from each stratum as it has, with replacement. */
  draw(stream: RandomStream): Sample {
    const sample = this.samples[this.next];
    if (sample === undefined) return this.drawAnew(stream);
    this.next++;
    this.from += this.units.count;
    return sample;
  }

  private drawAnew(stream: RandomStream): Sample {
    const { count, strata } = this.units;
    if (strata.length > 1) this.drawWithin(stream);
    else if (this.picks === this.ahead && this.from + count < this.ahead.length) this.from += count;
    else {
      this.picks = stream.fillIndices(this.ahead, count);
      this.from = 0;
    }
    const first = this.samples[0];
    if (first === undefined) return this.again();
    for (let c = 0; c < this.gathered.length; c++) {
      gatherRows(itemAt(this.columns, c), this.ahead, 0, itemAt(this.gathered, c));
    }
    this.next = 1;
    return first;
  }

  private drawWithin(stream: RandomStream): void {
    for (const [s, members] of this.units.strata.entries()) {
      const drawn = stream.fillIndices(itemAt(this.drawn, s), members.length);
      for (let i = 0; i < members.length; i++)
        this.picks[wholeAt(members, i)] = wholeAt(members, wholeAt(drawn, i));
    }
  }

  /** What was drawn last (or `whole`), gathered once more: a statistic may have sorted it. */
  again(): Sample {
    if (this.units.of === "clusters") return this.without(-1);
    return this.gather(this.picks, this.from, this.units.count);
  }

  /** What was drawn last (or `whole`) without the places of one block. */
  without(block: number): Sample {
    return this.gather(this.sourceRows, 0, this.listRows(block));
  }

  /** Lists the rows of the picked units, all but one block, and returns how many rows there are. */
  private listRows(skipped: number): number {
    const { picks, from, sourceRows, unit } = this;
    const { count, start, rows, blockOf } = this.units;
    let length = 0;
    let number = 0;
    for (let place = 0; place < count; place++) {
      if (blockOf[place] === skipped) continue;
      const picked = wholeAt(picks, from + place);
      const end = wholeAt(start, picked + 1);
      for (let k = wholeAt(start, picked); k < end; k++) {
        sourceRows[length] = wholeAt(rows, k);
        unit[length++] = number;
      }
      number++;
    }
    return length;
  }

  private gather(source: Int32Array, first: number, length: number): Sample {
    const view = this.view(length);
    for (let c = 0; c < this.columns.length; c++) {
      gatherRows(itemAt(this.columns, c), source, first, itemAt(view.columns, c));
    }
    return view;
  }

  private view(length: number): Sample {
    if (this.lastView.unit.length === length) return this.lastView; // nearly always so
    this.lastView = this.views.get(length) ?? this.viewOf(length);
    this.views.set(length, this.lastView);
    return this.lastView;
  }

  private viewOf(length: number): Sample {
    return {
      columns: this.buffers.map((buffer) => buffer.subarray(0, length)),
      unit: this.unit.subarray(0, length),
    };
  }
}

/** Fills `target` with the values of a column at the places listed in `source` from `first` on. */
function gatherRows(
  column: Float64Array,
  source: Int32Array,
  first: number,
  target: Float64Array,
): void {
  // no check of the places, which were drawn below the number of rows: it would cost as much again
  const last = target.length - 3;
  let i = 0;
  for (; i < last; i += 4) {
    const at = first + i;
    target[i] = column[source[at] as number] as number;
    target[i + 1] = column[source[at + 1] as number] as number;
    target[i + 2] = column[source[at + 2] as number] as number;
    target[i + 3] = column[source[at + 3] as number] as number;
  }
  for (; i < target.length; i++) target[i] = column[source[first + i] as number] as number;
}
