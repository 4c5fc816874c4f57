import { itemAt, wholeAt } from "../entry.js";
import { InputError } from "../errors.js";

const M0 = 0xd2511f53;
const M1 = 0xcd9e8d57;
const W0 = 0x9e3779b9;
const W1 = 0xbb67ae85;
const TWO_32 = 4294967296;
/** Words made at a time once a stream is in steady use. */
const FULL_BUFFER = 256;
/** Up to this count, indices are drawn several to a word. */
const BATCH_LIMIT = 32768;
/** Bits of a word that a batch of indices may use up: so few that words are seldom drawn again. */
const BATCH_BITS = 27;

/** A stream of random numbers that depends on its seed and its name alone. */
export interface RandomStream {
  /** The next 32 random bits, as a whole number from 0 to 4294967295. */
  uint32(): number;
  /** Uniform on [0, 1), a multiple of 2⁻⁵³. */
  uniform(): number;
  /** A whole number from 0 to n − 1, each exactly equally likely. */
  below(n: number): number;
  /** Standard normal deviate, by Marsaglia's polar method; deviates come in pairs. */
  normal(): number;
  /** Puts an array into random order, in place, and returns it (Fisher–Yates). */
  shuffle<T>(array: T[]): T[];
  /** Fills a typed array with whole numbers from 0 to n − 1: the rows of a bootstrap resample. */
  fillIndices<T extends Int32Array | Uint16Array | Uint32Array>(target: T, n: number): T;
  /** The stream of this one's seed named `<this name>/<name>`. */
  split(name: string | number): RandomStream;
}

/**
 * Writes the Philox4x32-10 blocks of successive counters into `out`, four words a block.
 *
 * @param counter four words; the first two, as one 64-bit number, go up by one per block (in place)
 * @see Salmon, Moraes, Dror, Shaw (2011) Parallel random numbers: as easy as 1, 2, 3. SC '11
 */
export function philoxBlocks(
  counter: Uint32Array,
  key0: number,
  key1: number,
  out: Uint32Array,
): void {
  let block = wholeAt(counter, 0) | 0;
  let carry = wholeAt(counter, 1) | 0;
  const name0 = wholeAt(counter, 2) | 0;
  const name1 = wholeAt(counter, 3) | 0;
  for (let at = 0; at < out.length; at += 4) {
    let c0 = block;
    let c1 = carry;
    let c2 = name0;
    let c3 = name1;
    let k0 = key0 | 0;
    let k1 = key1 | 0;
    // Two rounds a turn: the words change places and come back without being moved.
    for (let turn = 0; turn < 5; turn++) {
      const d0 = highProduct(c2, M1 >>> 16, M1 & 0xffff) ^ c1 ^ k0;
      const d2 = highProduct(c0, M0 >>> 16, M0 & 0xffff) ^ c3 ^ k1;
      const d1 = Math.imul(c2, M1);
      const d3 = Math.imul(c0, M0);
      k0 = (k0 + W0) | 0;
      k1 = (k1 + W1) | 0;
      c0 = highProduct(d2, M1 >>> 16, M1 & 0xffff) ^ d1 ^ k0;
      c2 = highProduct(d0, M0 >>> 16, M0 & 0xffff) ^ d3 ^ k1;
      c1 = Math.imul(d2, M1);
      c3 = Math.imul(d0, M0);
      k0 = (k0 + W0) | 0;
      k1 = (k1 + W1) | 0;
    }
    out[at] = c0;
    out[at + 1] = c1;
    out[at + 2] = c2;
    out[at + 3] = c3;
    block = (block + 1) | 0;
    if (block === 0) carry = (carry + 1) | 0;
  }
  counter[0] = block;
  counter[1] = carry;
}

/**
 * Upper 32 bits of the unsigned product of `a` and a constant given by its two halves. Every
 * partial sum stays below 2³², so wrapping integer arithmetic is exact.
 */
function highProduct(a: number, constantHigh: number, constantLow: number): number {
  const low = a & 0xffff;
  const high = a >>> 16;
  const inner = (Math.imul(low, constantLow) >>> 16) + Math.imul(high, constantLow);
  const outer = (inner & 0xffff) + Math.imul(low, constantHigh);
  return (Math.imul(high, constantHigh) + (inner >>> 16) + (outer >>> 16)) | 0;
}

/** Sixty-four bits that stand for a name, absorbed four code units at a time by the block cipher. */
function nameWords(name: string): [number, number] {
  const state = new Uint32Array(4);
  for (let at = 0; at < name.length; at += 4) {
    for (let i = 0; i < 4; i++) state[i] = wholeAt(state, i) ^ (name.charCodeAt(at + i) || 0);
    philoxBlocks(state.slice(), name.length, at, state);
  }
  return [wholeAt(state, 0), wholeAt(state, 1)];
}

/**
 * A reproducible stream of random numbers, told apart from every other by seed and name.
 *
 * Generator: Philox4x32-10, a counter-based block function. The seed is the key; the name picks
 * the upper half of the counter, so that streams of one seed with different names never overlap
 * (but for a chance of 2⁻⁶⁴ that two names share their mark). The numbers drawn for a name do not
 * depend on what other streams were asked for, nor on how many workers share the job.
 *
 * @param seed whole number from 0 to 2⁵³ − 1
 * @param name any text, such as a finding's id
 * @throws InputError when the seed is not such a number
 * @see Salmon, Moraes, Dror, Shaw (2011) Parallel random numbers: as easy as 1, 2, 3. SC '11
 * @example randomStream(0).uint32() // 1713891541
 */
export function randomStream(seed: number, name = ""): RandomStream {
  if (!Number.isSafeInteger(seed) || seed < 0) {
    const expected = "a whole number from 0 to 9007199254740991";
    throw new InputError({ expected, got: String(seed), where: "randomStream, seed" });
  }
  return new PhiloxStream(seed, name);
}

class PhiloxStream implements RandomStream {
  readonly #seed: number;
  readonly #name: string;
  readonly #counter: Uint32Array;
  #words = new Uint32Array(4);
  #next = 4;
  #spare = Number.NaN;
  #batchOf = 0;
  #batch = 1;
  #reject = 0;

  constructor(seed: number, name: string) {
    this.#seed = seed;
    this.#name = name;
    const [high0, high1] = nameWords(name);
    this.#counter = Uint32Array.of(0, 0, high0, high1);
  }

  /** Makes the next words; a stream that is used much makes more of them at a time. */
  #refill(): void {
    if (wholeAt(this.#counter, 0) >= 4 && this.#words.length < FULL_BUFFER) {
      this.#words = new Uint32Array(FULL_BUFFER);
    }
    philoxBlocks(this.#counter, this.#seed % TWO_32, Math.floor(this.#seed / TWO_32), this.#words);
    this.#next = 0;
  }

  uint32(): number {
    if (this.#next === this.#words.length) this.#refill();
    return wholeAt(this.#words, this.#next++);
  }

  uniform(): number {
    const high = this.uint32() >>> 5;
    const low = this.uint32() >>> 6;
    return (high * 67108864 + low) / 9007199254740992;
  }

  below(n: number): number {
    checkCount(n);
    if (n > 2097152) return this.#belowMany(n);
    // Lemire (2019): the high word of a product, rejecting the few low words that would bias it.
    // Exact in a double, since 2³² · 2²¹ = 2⁵³.
    for (;;) {
      const product = this.uint32() * n;
      const index = Math.floor(product / TWO_32);
      const rest = product - index * TWO_32;
      if (rest >= n || rest >= TWO_32 % n) return index;
    }
  }

  /** For counts past 2²¹: 53 random bits, the incomplete last round rejected. */
  #belowMany(n: number): number {
    const limit = 9007199254740992 - (9007199254740992 % n);
    for (;;) {
      const bits = this.uniform() * 9007199254740992;
      if (bits < limit) return bits % n;
    }
  }

  normal(): number {
    if (!Number.isNaN(this.#spare)) {
      const kept = this.#spare;
      this.#spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const x = 2 * this.uniform() - 1;
      const y = 2 * this.uniform() - 1;
      const square = x * x + y * y;
      if (square > 0 && square < 1) {
        const scale = Math.sqrt((-2 * Math.log(square)) / square);
        this.#spare = y * scale;
        return x * scale;
      }
    }
  }

  shuffle<T>(array: T[]): T[] {
    for (let last = array.length - 1; last > 0; last--) {
      const other = this.below(last + 1);
      const moved = itemAt(array, last);
      array[last] = itemAt(array, other);
      array[other] = moved;
    }
    return array;
  }

  /**
   * Several indices from one word: the product of the word and n has an index in its upper half,
   * the product of its lower half and n the next one, and so on. A word whose last lower half
   * falls among the few that would favour some indices is drawn again.
   * @see Brackett-Rozinsky & Lemire (2025) Softw Pract Exp 55:155–173
   */
  fillIndices<T extends Int32Array | Uint16Array | Uint32Array>(target: T, n: number): T {
    checkCount(n);
    if (n > BATCH_LIMIT) {
      for (let i = 0; i < target.length; i++) target[i] = this.below(n);
      return target;
    }
    if (n !== this.#batchOf) this.#planBatches(n);
    const batch = this.#batch;
    const reject = this.#reject;
    const share = n / TWO_32;
    let words = this.#words;
    let start = 0;
    while (start + batch <= target.length) {
      if (this.#next === words.length) {
        this.#refill();
        words = this.#words;
      }
      // no check of the place: this loop makes every index of every bootstrap
      let rest = (words[this.#next++] as number) | 0;
      const end = start + batch;
      for (let i = start; i < end; i++) {
        target[i] = ((rest >>> 0) * share) | 0; // exact, since 2³² · 2¹⁵ is below 2⁵³
        rest = Math.imul(rest, n);
      }
      if (rest >>> 0 >= reject) start = end;
    }
    for (; start < target.length; start++) target[start] = this.below(n);
    return target;
  }

  /** How many indices below n one word yields, and which words would favour some. */
  #planBatches(n: number): void {
    this.#batchOf = n;
    this.#batch = Math.floor(BATCH_BITS / Math.log2(Math.max(n, 2)));
    this.#reject = TWO_32 % n ** this.#batch;
  }

  split(name: string | number): RandomStream {
    return new PhiloxStream(this.#seed, `${this.#name}/${name}`);
  }
}

function checkCount(n: number): void {
  if (!Number.isSafeInteger(n) || n < 1) {
    const expected = "a whole number of at least 1";
    throw new InputError({ expected, got: String(n), where: "random stream, below" });
  }
}
