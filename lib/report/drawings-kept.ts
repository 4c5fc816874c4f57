import { createHash } from "node:crypto";
import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { readSealed, writeSealed } from "../sealed-file.js";
import { type DrawableFigure, drawFigures } from "./drawing.js";

/** Hidden file, in a report's folder, with the drawings that a later report of this machine takes again. */
const keptName = ".drawings.json";

type Kept = Readonly<Record<string, string>>;

/** Drawings of this process, by their content: while notebooks are watched, what stays is not drawn again. */
const ofProcess = new Map<string, string>();

function contentOf({ id, data, layout }: DrawableFigure): string {
  return createHash("sha256")
    .update(JSON.stringify([id, data, layout]))
    .digest("hex");
}

function keptIn(folder: string | undefined): Kept {
  if (folder === undefined) return {};
  return (readSealed(join(folder, keptName)) as Kept | undefined) ?? {};
}

/**
 * Draws figures, each content once: what this process or an earlier report in the same folder drew is
 * taken again.
 * @param folder the report's folder; undefined where nothing is kept in it
 */
export async function drawnOnce(
  figures: readonly DrawableFigure[],
  folder: string | undefined,
): Promise<Map<string, string>> {
  const keys = new Map(figures.map((figure) => [figure.id, contentOf(figure)]));
  const keyOf = ({ id }: DrawableFigure) => keys.get(id) ?? "";
  const missing = () => figures.filter((figure) => !ofProcess.has(keyOf(figure)));
  if (missing().length > 0) {
    for (const [key, svg] of Object.entries(keptIn(folder))) ofProcess.set(key, svg);
  }
  const made = await drawFigures(missing());
  for (const figure of figures) {
    const svg = made.get(figure.id);
    if (svg !== undefined) ofProcess.set(keyOf(figure), svg);
  }
  const drawn = figures.map((figure) => [figure.id, ofProcess.get(keyOf(figure)) ?? ""] as const);
  const known = folder === undefined || (made.size === 0 && existsSync(join(folder, keptName)));
  if (folder !== undefined && !known && figures.length > 0) {
    mkdirSync(folder, { recursive: true });
    writeSealed(
      join(folder, keptName),
      Object.fromEntries(drawn.map(([id, svg]) => [keys.get(id) ?? "", svg])),
    );
  }
  return new Map(drawn);
}
