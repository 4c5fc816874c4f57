/** The three parts of a refusal: what was asked for, what came, and where. */
export interface InputErrorParts {
  /** What the function or file needs, in words a person can act on. */
  readonly expected: string;
  /** What it was given instead. */
  readonly got: string;
  /** The function and argument, or the file, row and column. */
  readonly where: string;
}

/**
 * The one error the library throws for input it cannot use.
 *
 * Its message reads `<where>: expected <expected>, got <got>`; the parts are fields, so that a
 * program need not parse the sentence.
 */
export class InputError extends Error implements InputErrorParts {
  readonly expected: string;
  readonly got: string;
  readonly where: string;

  constructor({ expected, got, where }: InputErrorParts) {
    super(`${where}: expected ${expected}, got ${got}`);
    this.name = "InputError";
    this.expected = expected;
    this.got = got;
    this.where = where;
  }
}

/** What a computation gives; undefined where it refuses its input. Other errors pass. */
export function unlessRefused<T>(compute: () => T): T | undefined {
  try {
    return compute();
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}
