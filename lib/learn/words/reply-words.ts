/** What every exercise says in one language, whatever it asks. */
export interface ReplyWords {
  /** Before the prompt. */
  readonly exercise: string;
  /** In which unit and to how many decimals the answer is wanted. */
  readonly wanted: (unit: string, digits: number) => string;
  /** To a right answer; what the number means follows. */
  readonly right: string;
  /** Before the reply to a known mistake. */
  readonly notYet: (kind: string) => string;
  /** Before a hint. */
  readonly hint: string;
  /** Before the worked solution. */
  readonly solution: string;
  /** Where nothing was answered. */
  readonly noAnswer: string;
  /** To a text that is no number. */
  readonly notNumber: (unit: string) => string;
  /** To a number with a space inside. */
  readonly gap: (typed: string) => string;
  /** To a number with two decimal signs. */
  readonly twoPoints: (typed: string) => string;
  /** To 1,30 without quotes in a cell. */
  readonly twoValues: (first: string, second: string) => string;
  /** To a number with a unit that is not asked. */
  readonly unit: (asked: string, given: string) => string;
  /** To the right amount in another unit. */
  readonly otherUnit: (symbol: string, asked: string) => string;
  /** To a number that is right in the unit asked for, with another unit behind it. */
  readonly wrongUnit: (asked: string, given: string) => string;
  /** To the right size with the wrong sign. */
  readonly sign: string;
  /** To a fraction where a percentage is asked. */
  readonly fraction: string;
  /** To a right answer with too few decimals. */
  readonly coarse: (digits: number) => string;
  /** To a number that is nearly right. */
  readonly close: string;
  /** To a wrong number that no known mistake leads to. */
  readonly unknown: string;
  /** Names of the general kinds of mistake. */
  readonly kinds: Readonly<Record<"unit" | "sign" | "fraction" | "rounding", string>>;
}
