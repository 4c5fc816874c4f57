import { type Markup, markup, trustedMarkup } from "../markup.js";
import { colours } from "../show/look.js";

/** Ids that plotly makes up become ids of the figure: unique in a page, the same in every run. */
function namedAfter(svg: string, uid: string, id: string): string {
  const made = new RegExp(`((?:\\bid="|url\\(#|href="#)[^")]*?)${uid}`, "g");
  return svg.replace(made, `$1-${id}-`);
}

/**
 * What plotly writes, made fit for a page and for print: plain references to its own ids (some
 * painters take a quoted one for nothing), and one wording for unsmoothed pixels.
 */
function tidy(svg: string): string {
  return svg
    .replace(/url\((?:&quot;|')(#[^)'&]*)(?:&quot;|')\)/g, "url($1)")
    .replace(/image-rendering:[^"]*pixelated;?/g, "image-rendering: pixelated;")
    .replace(/ style=""/g, "");
}

/** Two or more points of one look; only opaque ones, which look the same alone and as a group. */
const alikePoints =
  /<path class="point" transform="[^"]*" style="(opacity: 1;[^"]*)" d="[^"]*"\/>(?:<path class="point" transform="[^"]*" style="\1" d="[^"]*"\/>)+/g;

/** Says the look of neighbouring points once, around them: most of a crowded drawing's bytes. */
function withSharedLook(svg: string): string {
  return svg.replace(alikePoints, (run, style: string) => {
    const points = trustedMarkup(run.replaceAll(` style="${style}"`, ""));
    return String(markup`<g style="${trustedMarkup(style)}">${points}</g>`);
  });
}

/** What plotly wrote for one figure as the drawing that is recorded; its ids begin with `id`. */
export function asDrawing(svg: string, uid: string, id: string): string {
  return withSharedLook(tidy(namedAfter(svg, uid, id)));
}

function channels(hex: string): string {
  return [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(", ");
}

const painted = Object.entries(colours).map(([name, hex]) => ({
  name,
  written: [`rgb(${channels(hex)})`, hex],
}));

/** Palette colours become the page's variables, so that a drawing follows the theme. */
function themed(svg: string): string {
  let result = svg;
  for (const { name, written } of painted) {
    for (const colour of written) {
      result = result.replaceAll(`: ${colour};`, `: var(--${name}, ${colour});`);
    }
  }
  return result;
}

/** A drawing that scales with the page: its size becomes a view box. */
function scaling(svg: string): string {
  return svg.replace(
    /^<svg ([^>]*?)width="([\d.]+)" height="([\d.]+)"/,
    (_, before: string, width: string, height: string) => {
      const rest = trustedMarkup(before);
      return String(
        markup`<svg ${rest}viewBox="0 0 ${width} ${height}" width="${width}" height="${height}"`,
      );
    },
  );
}

/** Ids inside a drawing get the page's prefix, so that several notebooks can share one page. */
function prefixed(svg: string, prefix: string): string {
  return svg
    .replace(/(\bid=")/g, `$1${prefix}-`)
    .replace(/url\(#/g, `url(#${prefix}-`)
    .replace(/aria-labelledby="([^"]*)"/g, (_, ids: string) => {
      const named = ids.split(" ").map((id) => `${prefix}-${id}`);
      return String(markup`aria-labelledby="${trustedMarkup(named.join(" "))}"`);
    });
}

/** A drawing as part of a page: in the page's colours, its ids with the page's prefix. */
export function inPage(svg: string, prefix: string): Markup {
  const inside = svg
    .replace(/^(<svg )role="img" aria-labelledby="[^"]*" /, "$1")
    .replace(/<title[^>]*>[^<]*<\/title>|<desc[^>]*>[^<]*<\/desc>/g, "");
  return trustedMarkup(scaling(themed(prefixed(inside, prefix))));
}
