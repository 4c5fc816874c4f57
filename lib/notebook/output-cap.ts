type Say = (type: "stream" | "display_data" | "update_display_data", content: object) => void;

/** What one cell may print, and what it may show, in characters. */
export const outputLimits = { text: 1_000_000, shown: 50_000_000 } as const;

/**
 * Passes a cell's output on up to a limit, then says once that the rest was left out. It sits in
 * the kernel, because a cell that prints in an endless loop never lets the kernel send anything:
 * the messages would pile up in its memory.
 */
export class OutputCap {
  private text = 0;
  private shown = 0;
  private readonly say: Say;

  constructor(say: Say) {
    this.say = say;
  }

  stream(name: string, text: string): void {
    const room = outputLimits.text - this.text;
    if (room < 0) return;
    this.text += text.length;
    if (text.length <= room) {
      this.say("stream", { name, text });
      return;
    }
    this.text = outputLimits.text + 1;
    this.say("stream", { name, text: `${text.slice(0, room)}\n${cutNote(outputLimits.text)}\n` });
  }

  display(content: object, update: boolean): void {
    if (this.shown > outputLimits.shown) return;
    this.shown += JSON.stringify(content).length;
    if (this.shown > outputLimits.shown) {
      this.say("stream", { name: "stderr", text: `${cutNote(outputLimits.shown)}\n` });
      return;
    }
    this.say(update ? "update_display_data" : "display_data", content);
  }
}

/** The words that stand where output was cut; a run finds them again to warn about it. */
export function cutNote(limit: number): string {
  return `[Output cut: this cell wrote more than ${limit / 1_000_000} million characters.]`;
}
