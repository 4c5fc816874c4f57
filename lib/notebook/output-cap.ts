type Say = (type: "stream" | "display_data" | "update_display_data", content: object) => void;

/** What one cell may print, and what it may show, in characters. */
export const outputLimits = { text: 1_000_000, shown: 50_000_000 } as const;

const messageSize = 32_000;

/**
 * Passes a cell's output on up to a limit, then says once that the rest was left out. It sits in
 * the kernel, because a cell that prints in an endless loop never lets the kernel send anything:
 * the messages would pile up in its memory. Texts that follow each other go as one message.
 */
export class OutputCap {
  private written = 0;
  private shown = 0;
  private name = "";
  private waiting = "";
  private readonly say: Say;

  constructor(say: Say) {
    this.say = say;
  }

  stream(name: string, text: string): void {
    const room = outputLimits.text - this.written;
    if (room < 0 || text === "") return;
    this.written += text.length;
    if (text.length <= room) {
      this.add(name, text);
      return;
    }
    this.written = outputLimits.text + 1;
    this.add(name, `${text.slice(0, room)}\n${cutNote(outputLimits.text)}\n`);
  }

  display(content: object, update: boolean): void {
    if (this.shown > outputLimits.shown) return;
    this.shown += JSON.stringify(content).length;
    if (this.shown > outputLimits.shown) {
      this.add("stderr", `${cutNote(outputLimits.shown)}\n`);
      return;
    }
    this.flush();
    this.say(update ? "update_display_data" : "display_data", content);
  }

  /** Sends what is waiting; called when the cell is done. */
  flush(): void {
    if (this.waiting === "") return;
    const { name, waiting: text } = this;
    this.waiting = "";
    this.say("stream", { name, text });
  }

  private add(name: string, text: string): void {
    if (name !== this.name) this.flush();
    if (this.waiting === "") setImmediate(() => this.flush());
    this.name = name;
    this.waiting += text;
    if (this.waiting.length >= messageSize) this.flush();
  }
}

/** The words that stand where output was cut; a run finds them again to warn about it. */
export function cutNote(limit: number): string {
  return `[Output cut: this cell wrote more than ${limit / 1_000_000} million characters.]`;
}
