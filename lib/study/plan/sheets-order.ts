import { itemAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { type RandomStream, randomStream } from "../../num/random.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";

/** In which order one golfer is tested, the same on every occasion. */
export interface TestOrder {
  /** Code of the golfer. */
  readonly participant: string;
  /** Positions in the order of testing. */
  readonly positions: readonly string[];
  /** Hand that begins in every position; the other follows, trial by trial. */
  readonly firstHand: string;
  /** Row of the Williams design that was drawn, counted from 1. */
  readonly row: number;
}

/**
 * Orders of `count` conditions that balance first-order carry-over (a Williams design): every
 * condition stands in every place equally often, and every condition follows every other equally
 * often. An even count needs `count` orders, an odd one twice as many.
 *
 * Built from the zigzag 0, n − 1, 1, n − 2, …, each next order one step on (modulo n); for an odd
 * count the mirrored orders are added.
 * @param count number of conditions, from 1 to 12
 * @returns orders of the numbers 0 to count − 1
 * @throws InputError when count is not such a whole number
 * @see Williams EJ (1949) Experimental designs balanced for the estimation of residual effects of
 *   treatments. Aust J Sci Res A 2:149–168
 * @example williamsOrders(4) // [[0,3,1,2],[1,0,2,3],[2,1,3,0],[3,2,0,1]]
 */
export function williamsOrders(count: number): readonly (readonly number[])[] {
  if (!Number.isInteger(count) || count < 1 || count > 12) {
    const expected = "a whole number of conditions from 1 to 12";
    throw new InputError({ expected, got: String(count), where: "williamsOrders, count" });
  }
  const zigzag = Array.from({ length: count }, (_, i) =>
    i % 2 === 0 ? i / 2 : count - (i + 1) / 2,
  );
  const orders = zigzag.map((_, step) => zigzag.map((start) => (start + step) % count));
  const mirrored = count % 2 === 1 && count > 1 ? orders.map((order) => order.toReversed()) : [];
  return frozen([...orders, ...mirrored]);
}

/**
 * Draws a test order for every golfer: rows of the Williams design crossed with the hand that
 * begins, dealt in random blocks in which each combination comes once. Any number of golfers is
 * then as balanced as it can be, and a golfer keeps the order on every occasion, so that order
 * cannot pass for change.
 * @param participants codes, each once; the draw depends on their order
 * @param options positions and hands of the design; seed: a whole number
 * @throws InputError when a code is repeated or the seed is not a whole number from 0
 * @see Williams EJ (1949) Aust J Sci Res A 2:149–168
 * @example testOrders(["A", "B"], { positions: ["seated"], hands: ["lead", "trail"], seed: 1 }).length // 2
 */
export function testOrders(
  participants: readonly string[],
  options: { positions: readonly string[]; hands: readonly string[]; seed: number },
): readonly TestOrder[] {
  knownOptions(options, ["positions", "hands", "seed"], "testOrders");
  const { positions, hands, seed } = options;
  const repeated = participants.find((code, i) => participants.indexOf(code) !== i);
  if (repeated !== undefined) {
    const where = "testOrders, participants";
    throw new InputError({ expected: "each code once", got: JSON.stringify(repeated), where });
  }
  const orders = williamsOrders(positions.length);
  const block = orders.flatMap((order, row) =>
    hands.map((firstHand) => ({ order, row, firstHand })),
  );
  const stream = randomStream(seed, "test order");
  const draws = dealt(block, participants.length, stream);
  return frozen(
    participants.map((participant, i) => {
      const { order, row, firstHand } = itemAt(draws, i);
      return {
        participant,
        positions: order.map((k) => itemAt(positions, k)),
        firstHand,
        row: row + 1,
      };
    }),
  );
}

/** Shuffled copies of a block, one after another, cut off at `count`. */
function dealt<T>(block: readonly T[], count: number, stream: RandomStream): T[] {
  const all: T[] = [];
  while (all.length < count) all.push(...stream.shuffle([...block]));
  return all.slice(0, count);
}
