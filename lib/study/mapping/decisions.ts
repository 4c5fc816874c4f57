/** Something that only a person can decide. */
export interface Question {
  /** What an answer is given by: the file and what is asked, such as "grip.csv: unit of force". */
  readonly key: string;
  /** The question as a sentence. */
  readonly text: string;
  /** The answers it may have. */
  readonly choices: readonly string[];
}

/** Answers that were given, and questions that are open. Nothing is decided by guessing. */
export class Decisions {
  private readonly answers: ReadonlyMap<string, string>;
  private readonly open = new Map<string, Question>();

  constructor(answers: ReadonlyMap<string, string>) {
    this.answers = answers;
  }

  /** The answer to a question; undefined, and asked, when there is none yet. */
  choose(question: Question): string | undefined {
    const given = this.answers.get(question.key);
    if (given !== undefined && question.choices.includes(given)) return given;
    this.open.set(question.key, question);
    return undefined;
  }

  get questions(): readonly Question[] {
    return [...this.open.values()];
  }
}
