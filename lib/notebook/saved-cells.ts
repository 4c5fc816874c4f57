import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import type { SavedCells } from "./cell-ledger.js";

interface SavedCell {
  readonly number: number;
  readonly source: string;
}

interface SavedNotebook {
  readonly modified: number;
  readonly cells: ReadonlyMap<string, SavedCell>;
}

/**
 * The saved notebooks of the folder that a kernel works in. The Jupyter protocol tells a kernel the
 * id of a cell that runs and nothing of the notebook around it; the file that has the ids tells the
 * numbers and the order of cells, and what was edited or deleted since.
 */
export class SavedNotebooks implements SavedCells {
  private readonly folder: string;
  private readonly seen = new Map<string, SavedNotebook>();
  private current: SavedNotebook | undefined;

  constructor(folder: string) {
    this.folder = folder;
  }

  /** Reads what was saved since the last time; called once for each run of a cell. */
  refresh(id: string): void {
    for (const name of notebooksIn(this.folder)) {
      const path = join(this.folder, name);
      const modified = statSync(path).mtimeMs;
      if (this.seen.get(path)?.modified === modified) continue;
      this.seen.set(path, { modified, cells: cellsOf(path) });
    }
    const found = [...this.seen.values()].find(({ cells }) => cells.has(id));
    if (found) this.current = found;
  }

  number(id: string): number | undefined {
    return this.current?.cells.get(id)?.number;
  }

  since(id: string, source: string, ranAt: number): "same" | "edited" | "deleted" {
    if (!this.current || this.current.modified <= ranAt) return "same";
    const cell = this.current.cells.get(id);
    if (!cell) return "deleted";
    return cell.source.trim() === source.trim() ? "same" : "edited";
  }
}

function notebooksIn(folder: string): string[] {
  return readdirSync(folder).filter((name) => name.endsWith(".ipynb"));
}

/** a file that is not a notebook has no cells; the reader gets the reason. */
function cellsOf(path: string): ReadonlyMap<string, SavedCell> {
  try {
    const { cells } = JSON.parse(readFileSync(path, "utf8")) as {
      cells: { id?: unknown; source: string | string[] }[];
    };
    const entries = cells.map(({ id, source }, i): [string, SavedCell] => [
      String(id),
      { number: i + 1, source: typeof source === "string" ? source : source.join("") },
    ]);
    return new Map(entries);
  } catch {
    return new Map();
  }
}
