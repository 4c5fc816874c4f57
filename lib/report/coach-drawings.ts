import { drawnOnce } from "./drawings-kept.js";
import { drawingKey, figureBeside, narrowKey } from "./figure-html.js";
import type { Stated } from "./finding-html.js";
import { narrowFigure } from "./narrow-figure.js";
import type { RecordedNotebook } from "./recorded.js";

/** The narrow drawing of the coach's picture, and the wide one where its notebook holds none. */
export async function coachDrawings(
  notebooks: readonly RecordedNotebook[],
  key: Stated | undefined,
): Promise<Map<string, string>> {
  const notebook = notebooks.find(({ slug }) => slug === key?.notebook.slug);
  const shown = notebook && figureBeside(notebook, key?.cell.number);
  if (!notebook || !shown) return new Map();
  const id = drawingKey(notebook, shown.figure.id);
  const narrow = { ...narrowFigure(shown.figure), id: narrowKey(id) };
  return drawnOnce(shown.svg ? [narrow] : [{ ...shown.figure, id }, narrow], undefined);
}
