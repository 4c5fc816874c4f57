import { dirname } from "node:path";
import { buildSync } from "esbuild";
import { itemAt } from "../entry.js";
import { markup, trustedMarkup } from "../markup.js";
import type { Simulation } from "../show/lesson-outputs.js";
import { lessonStyle } from "./lesson-style.js";
import { scriptText } from "./page-frame.js";
import { bundling, libraryFile } from "./programs.js";
import { simulationHtml } from "./simulation-html.js";
import { light } from "./stylesheet.js";

const entry = `
import { playAgain } from "./learn/models.js";
import { enlivenOutput } from "./report/page/output.js";
self.tautlinePlay = (id) => enlivenOutput(playAgain, id);
`;

/** The page's rules for lessons, for this output alone; a link to a setting needs a page. */
const style = `.tautline-play{${light}color:var(--ink)}.tautline-play{*{box-sizing:border-box}${lessonStyle.trim()}[data-play=link]{display:none}}`;

let program: string | undefined;
let outputs = 0;

/** Bundled at the first simulation of a kernel, in about a tenth of a second. */
function bundledProgram(): string {
  const made = buildSync({
    ...bundling,
    stdin: { contents: entry, resolveDir: dirname(libraryFile("page-library.js")) },
  });
  return scriptText(itemAt(made.outputFiles, 0).text);
}

/**
 * The markup of a simulation as a notebook's output: the same form and the same program as in the
 * report's pages, with the models bundled into the output. A front end that does not trust the
 * notebook leaves the script out and shows the first state.
 */
export function liveOutput(record: Simulation): string {
  program ??= bundledProgram();
  const id = `tautline-${record.id}-${++outputs}`;
  const inside = simulationHtml(record, id, { live: true });
  const start = trustedMarkup(`${program};tautlinePlay(${JSON.stringify(id)})`);
  return String(
    markup`<style>${trustedMarkup(style)}</style><div class="tautline-play"><div class="js">${inside}</div></div><script>${start}</script>`,
  );
}
