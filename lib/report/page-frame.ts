import { createHash } from "node:crypto";
import { present } from "../entry.js";
import { joined, type Markup, markup, trustedMarkup } from "../markup.js";
import { linkTo, type SiteContext, type SitePage } from "./context.js";

/** What a page loads: files beside it, or the same texts inside it. */
export interface PageAssets {
  /** Text of the stylesheet. */
  readonly style: string;
  /** Text of the program that every page runs. */
  readonly script: string;
  /** Program texts that a page holds asleep, by the name that wakes them. */
  readonly asleep: Readonly<Record<string, string>>;
  /** Whether the texts are part of the page; otherwise they are files beside it. */
  readonly inline: boolean;
}

/** A script's text as it may stand inside a script element. */
export function scriptText(text: string): string {
  return text.replace(/<\/(script)/gi, "<\\/$1").replace(/<!--/g, "<\\!--");
}

function hashSource(text: string): string {
  return `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;
}

/**
 * The page's own rule for what may load: nothing from any network. Scripts are the site's files, or
 * in one file the texts with exactly these hashes; no text is ever compiled into a program.
 */
export function contentPolicy(scripts: readonly string[], inline: boolean): string {
  const own = inline ? scripts.map(hashSource).join(" ") : "'self' file:";
  return [
    "default-src 'none'",
    `script-src ${own}`,
    "style-src 'self' file: 'unsafe-inline'",
    "img-src data: blob:",
    "connect-src 'none'",
    "worker-src blob:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
}

const brand = markup`<svg viewBox="0 0 84 18" aria-hidden="true"><path class="cord" d="M9 9H75"/><circle class="near" cx="9" cy="9" r="6"/><path class="far" d="M75 2.5l6.5 6.5-6.5 6.5-6.5-6.5z"/></svg>`;

function menuList(
  context: SiteContext,
  items: readonly { page: SitePage; text: string; here: boolean }[],
): Markup {
  const links = items.map(({ page, text, here }) => {
    const current = here ? markup` aria-current="page"` : "";
    return markup`<li><a href="${linkTo(context, page.name)}"${current}>${text}</a></li>`;
  });
  return markup`<ul class="menu">${links}</ul>`;
}

function menu(context: SiteContext, pages: readonly SitePage[], current?: SitePage): Markup {
  const firstOf = (page: SitePage) => pages.find(({ group }) => group === page.group);
  const main = pages
    .filter((page) => page.group === undefined || page === firstOf(page))
    .map((page) => ({
      page,
      text: page.group ?? page.menu,
      here: page === current || (page.group !== undefined && page.group === current?.group),
    }));
  const group = pages
    .filter((page) => page.group !== undefined && page.group === current?.group)
    .map((page) => ({ page, text: page.menu, here: page === current }));
  const inner = group.length > 0 ? menuList(context, group) : "";
  return markup`<nav aria-label="Pages">${menuList(context, main)}${inner}</nav>`;
}

function asleep(texts: PageAssets["asleep"]): Markup[] {
  return Object.entries(texts).map(
    ([name, text]) =>
      markup`<script type="text/plain" data-program="${name}">${trustedMarkup(scriptText(text))}</script>`,
  );
}

function section(page: SitePage): Markup {
  return markup`<article id="page-${page.name}"><h1>${page.title}</h1>${page.html}</article>`;
}

/** One HTML document: a page of the site, or all pages one under another. */
export function documentHtml(
  context: SiteContext,
  pages: readonly SitePage[],
  shown: readonly SitePage[],
  assets: PageAssets,
): string {
  const [first] = shown;
  const whole = shown.length > 1;
  const texts = [assets.script, ...Object.values(assets.asleep)].map(scriptText);
  const policy = contentPolicy(texts, assets.inline);
  const style = assets.inline
    ? markup`<style>${trustedMarkup(assets.style)}</style>`
    : markup`<link rel="stylesheet" href="assets/site.css">`;
  const script = assets.inline
    ? markup`<script>${trustedMarkup(scriptText(assets.script))}</script>`
    : markup`<script src="assets/site.js"></script>`;
  const title =
    whole || present(first).name === "index"
      ? "Tautline report"
      : `${present(first).title} – Tautline report`;
  return String(markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${trustedMarkup(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
${style}
${script}
</head>
<body>
<a class="skip" href="#main">Skip to the content</a>
<header class="top"><div><a class="brand" href="${linkTo(context, "index")}">${brand}Tautline</a>${menu(context, pages, whole ? undefined : first)}<button type="button" data-act="theme">Dark</button></div></header>
<main id="main">
${joined(shown.map(section), "\n")}
</main>
<footer class="foot"><div>Grip strength and club speed, from raw trials to checked numbers. This page loads nothing from any network.</div></footer>
${assets.inline ? asleep(assets.asleep) : ""}
</body>
</html>
`);
}
