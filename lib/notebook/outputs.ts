import { homedir } from "node:os";
import { libraryFolder } from "./build.js";
import type { Output } from "./nbformat.js";
import { cutNote, outputLimits } from "./output-cap.js";
import { isProgress } from "./progress-display.js";
import type { Message } from "./wire.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };
type Stream = Writable<Extract<Output, { output_type: "stream" }>>;

/** A path or a process number would differ on the next machine, and so has no place in a message. */
export function withoutMachine(text: string, root: string): string {
  return withoutHome(withoutFolder(text, root, { inside: "", alone: "." }));
}

/** The same for a record, in which the place of the library says nothing either. */
function recordable(text: string, root: string): string {
  const inRoot = withoutFolder(text, root, { inside: "", alone: "." });
  const library = { inside: "tautline/", alone: "tautline" };
  return withoutHome(withoutFolder(inRoot, libraryFolder(), library));
}

function withoutHome(text: string): string {
  const inHome = withoutFolder(text, homedir(), { inside: "~/", alone: "~" });
  return inHome.replace(/\(node:\d+\)/g, "(node)");
}

/** A home may be "/" or nothing, as in a container; that would be found everywhere. */
function withoutFolder(text: string, folder: string, as: { inside: string; alone: string }) {
  if (folder.length < 2) return text;
  const name = folder.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const paths = new RegExp(`(?<![\\w.-])${name}(?:(/)|(?![\\w.-]))`, "g");
  return text.replace(paths, (_, slash?: string) => (slash ? as.inside : as.alone));
}

/** Collects what a cell publishes into the outputs that a notebook stores. */
export class Outputs {
  private readonly list: Output[] = [];
  private readonly shownAs = new Map<string, number>();
  private readonly root: string;
  /** The cell printed more than it may. */
  cut = false;

  constructor(root: string) {
    this.root = root;
  }

  take(message: Message): void {
    const { content } = message;
    if (isProgress(content.metadata)) return;
    switch (message.header.msg_type) {
      case "stream":
        this.stream(String(content.name), recordable(String(content.text), this.root));
        break;
      case "display_data":
      case "update_display_data":
        this.display(content, message.header.msg_type === "update_display_data");
        break;
      case "execute_result":
        this.list.push({
          ...this.shown(content),
          output_type: "execute_result",
          execution_count: null,
        });
        break;
      case "clear_output":
        this.list.length = 0;
    }
  }

  all(): Output[] {
    return [...this.list];
  }

  stderr(): string {
    return this.list
      .filter((output): output is Stream => output.output_type === "stream")
      .filter(({ name }) => name === "stderr")
      .map(({ text }) => text)
      .join("");
  }

  private stream(name: string, text: string): void {
    if (text.includes(cutNote(outputLimits.text)) || text.includes(cutNote(outputLimits.shown))) {
      this.cut = true;
    }
    const last = this.list.at(-1);
    if (last?.output_type === "stream" && last.name === name) (last as Stream).text += text;
    else this.list.push({ output_type: "stream", name, text });
  }

  private display(content: Message["content"], update: boolean): void {
    const output: Output = { ...this.shown(content), output_type: "display_data" };
    const id = (content.transient as { display_id?: unknown } | undefined)?.display_id;
    const earlier = update && typeof id === "string" ? this.shownAs.get(id) : undefined;
    if (earlier !== undefined) {
      this.list[earlier] = output;
      return;
    }
    if (typeof id === "string") this.shownAs.set(id, this.list.length);
    this.list.push(output);
  }

  private shown(content: Message["content"]): {
    data: Record<string, unknown>;
    metadata: object & Record<string, unknown>;
  } {
    return {
      data: this.cleaned(content.data ?? {}) as Record<string, unknown>,
      metadata: this.cleaned(content.metadata ?? {}) as Record<string, unknown>,
    };
  }

  private cleaned(value: unknown): unknown {
    if (typeof value === "string") return recordable(value, this.root);
    if (Array.isArray(value)) return value.map((part) => this.cleaned(part));
    if (value === null || typeof value !== "object") return value;
    return Object.fromEntries(
      Object.entries(value).map(([key, part]) => [key, this.cleaned(part)]),
    );
  }
}
