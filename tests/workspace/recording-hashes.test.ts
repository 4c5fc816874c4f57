import { describe, expect, it } from "vitest";
import type { Cell, Notebook, TextCell } from "../../lib/notebook/nbformat.js";
import { changedProse, withRecordingHashes } from "../../lib/workspace/recording-hashes.js";

const text = (id: string, source: string, more: Partial<TextCell> = {}): TextCell => ({
  cell_type: "markdown",
  id,
  metadata: {},
  source,
  ...more,
});
const notebook = (cells: readonly Cell[]): Notebook => ({
  cells,
  metadata: {},
  nbformat: 4,
  nbformat_minor: 5,
});
const picture = (bytes: string) => ({ attachments: { "grip.png": { "image/png": bytes } } });
const cells = [text("intro", "Grip."), text("photo", "![](attachment:grip.png)", picture("AAAA"))];
const recorded = withRecordingHashes(notebook(cells), {});
const changedTo = (now: readonly Cell[]) => changedProse({ ...recorded, cells: now });

describe("text cells of a recorded notebook", () => {
  it("are as recorded until their text or a picture in them changes", () => {
    expect(changedTo(cells)).toEqual([]);
    expect(changedTo([text("intro", "Speed."), cells[1]!])).toEqual([
      "text cell intro was changed",
    ]);
    const swapped = text("photo", cells[1]!.source, picture("BBBB"));
    expect(changedTo([cells[0]!, swapped])).toEqual(["text cell photo was changed"]);
  });

  it("may be raw as well: a new one is named", () => {
    const raw = text("note", "Grip rose by 4.4 kgf.", { cell_type: "raw" });
    expect(changedTo([...cells, raw])).toEqual(["text cell note is new"]);
    expect(changedTo(cells.slice(1))).toEqual(["text cell intro is gone"]);
    const unrendered = text("intro", "Grip.", { cell_type: "raw" });
    expect(changedTo([unrendered, cells[1]!])).toEqual(["text cell intro was changed"]);
  });
});
