/** Where a command's words go. Tests hand in their own; the program hands in the terminal. */
export interface Io {
  /** Writes to the standard output: results, one JSON document with --json. */
  out(text: string): void;
  /** Writes to the standard error: progress, warnings, errors. */
  err(text: string): void;
  /** Asks a person to agree, on a terminal; left out where nobody can answer. */
  readonly agreed?: ((question: string) => Promise<boolean>) | undefined;
  /** Asks a question with a few answers, on a terminal; left out where nobody can answer. */
  readonly chosen?:
    | ((question: string, choices: readonly string[]) => Promise<string | undefined>)
    | undefined;
  /** Folder in which the command was started. */
  readonly cwd: string;
  /** The standard error is a terminal, so that a line may be redrawn. */
  readonly isTerminal?: boolean | undefined;
  /** Width of the terminal in characters. */
  readonly columns?: number | undefined;
  /** Colours may be used: the standard output is a terminal and NO_COLOR is not set. */
  readonly colour?: boolean | undefined;
}

/** What a command's process ends with. */
export const exitCodes = {
  fine: 0,
  /** Results differ from the record, or data have errors. */
  differences: 1,
  /** The command was not used rightly. */
  wrongUse: 2,
  /** A notebook or its kernel failed. */
  failed: 3,
} as const;

/** The help of one command, as data; cli/help.ts words it. */
export interface Help {
  /** The call with its arguments. */
  readonly usage: string;
  /** What the command does. */
  readonly what: string;
  /** Options with their meaning. */
  readonly options: readonly { readonly name: string; readonly what: string }[];
  /** A further list, such as the keys of a file, with its heading. */
  readonly more?: {
    readonly title: string;
    readonly rows: readonly { readonly name: string; readonly what: string }[];
  };
  /** Calls that work as written, with what they do. */
  readonly examples: readonly { readonly line: string; readonly what: string }[];
}

/** A file of this folder that the program can run. */
export interface Command {
  /** Help of the command. */
  readonly help?: Help;
  /** Runs the command and resolves with its exit code. */
  run(args: string[], io: Io): Promise<number>;
}

/** Text from a file must not control the terminal: no control or direction characters. */
export function plainWords(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, "\ufffd");
}
