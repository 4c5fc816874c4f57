import { createInterface, type Interface } from "node:readline";

/** How a command asks the person at a terminal. */
export interface TerminalQuestions {
  /** Asks a person to agree. */
  readonly agreed: (question: string) => Promise<boolean>;
  /** Asks a question with a few answers; undefined where it stays open. */
  readonly chosen: (question: string, choices: readonly string[]) => Promise<string | undefined>;
}

/**
 * Questions to the person at a terminal. Lines typed ahead are kept for the next question, an answer
 * that is none of the choices is asked for again, and the end of the input leaves a question open.
 */
export function terminalQuestions(
  input: NodeJS.ReadableStream,
  output: NodeJS.WritableStream,
): TerminalQuestions {
  const lines = new TypedLines(input, output);
  return {
    agreed: async (question) => {
      const given = await lines.after(`${question} [y/N] `);
      return given !== undefined && /^\s*y(?:es)?\s*$/i.test(given);
    },
    chosen: async (question, choices) => {
      const list = choices.map((choice, i) => `  ${i + 1}  ${choice}\n`).join("");
      let prompt = `${question}\n${list}Number, or nothing to leave it open: `;
      for (;;) {
        const given = (await lines.after(prompt))?.trim();
        if (given === undefined || given === "") return undefined;
        const answer = choices.includes(given) ? given : choices[Number(given) - 1];
        if (answer !== undefined) return answer;
        prompt = `Expected ${numbersOf(choices)}, got "${given}". Number, or nothing to leave it open: `;
      }
    },
  };
}

function numbersOf({ length }: readonly string[]): string {
  return length === 1 ? "1" : `a number from 1 to ${length}`;
}

/** The lines that a person types, one for each question. */
class TypedLines {
  private readonly input: NodeJS.ReadableStream;
  private readonly output: NodeJS.WritableStream;
  private readonly typed: string[] = [];
  private reader: Interface | undefined;
  private ended = false;
  private wake: () => void = () => undefined;

  constructor(input: NodeJS.ReadableStream, output: NodeJS.WritableStream) {
    this.input = input;
    this.output = output;
  }

  /** The next line after a prompt; undefined at the end of the input. */
  async after(prompt: string): Promise<string | undefined> {
    if (this.ended) {
      this.output.write(`${prompt}\n`);
      return this.typed.shift();
    }
    const reader = this.reader ?? this.opened();
    reader.setPrompt(prompt);
    reader.prompt();
    while (this.typed.length === 0 && !this.ended)
      await new Promise<void>((resolve) => {
        this.wake = resolve;
      });
    // Paused, the input does not keep the program from ending.
    if (!this.ended) reader.pause();
    if (this.ended && this.typed.length === 0) this.output.write("\n");
    return this.typed.shift();
  }

  private opened(): Interface {
    const reader = createInterface({ input: this.input, output: this.output });
    reader.on("line", (line) => {
      this.typed.push(line);
      this.wake();
    });
    reader.on("close", () => {
      this.ended = true;
      this.wake();
    });
    this.reader = reader;
    return reader;
  }
}
