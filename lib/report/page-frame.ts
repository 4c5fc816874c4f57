import { createHash } from "node:crypto";
import { present } from "../entry.js";
import { htmlDocument, joined, type Markup, markup, trustedMarkup } from "../markup.js";
import { linkTo, type SiteContext, type SitePage, type SiteSection } from "./context.js";

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

/** A text as a content policy names it: by its hash. */
export function hashSource(text: string): string {
  return `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;
}

/**
 * The page's own rule for what may load: nothing from any network. Scripts are the site's files, or
 * in one file the texts with exactly these hashes; no text is ever compiled into a program.
 */
export function contentPolicy(scripts: readonly string[], inline: boolean): string {
  const allowed = inline ? scripts.map(hashSource).join(" ") : "'self' file:";
  return [
    "default-src 'none'",
    `script-src ${allowed}`,
    "style-src 'self' file: 'unsafe-inline'",
    "img-src data: blob:",
    `font-src ${inline ? "data:" : "'self' file:"}`,
    "connect-src 'none'",
    "worker-src blob:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
}

const brand = markup`<svg viewBox="0 0 40 24" aria-hidden="true"><path class="line" d="M4 12H36"/><path class="limit" d="M4 5v14M36 5v14"/></svg>`;

const entries: readonly { section: SiteSection; text: string }[] = [
  { section: "study", text: "Study" },
  { section: "lessons", text: "Lessons" },
  { section: "methods", text: "Methods and data" },
  { section: "glossary", text: "Glossary" },
];

/** One link to each part of the site that has a page; on a phone behind a button. */
function navigation(
  context: SiteContext,
  pages: readonly SitePage[],
  current: SitePage | undefined,
): Markup {
  const links = entries.flatMap(({ section, text }) => {
    const first = pages.find((page) => page.section === section);
    if (!first) return [];
    const here = current?.section === section;
    const state = here ? markup` aria-current="${first === current ? "page" : "true"}"` : "";
    return [markup`<li><a href="${linkTo(context, first.name)}"${state}>${text}</a></li>`];
  });
  return markup`<button type="button" class="menu-button" data-act="menu" aria-expanded="false" aria-controls="site-menu">Menu</button><nav id="site-menu" aria-label="Pages"><ul class="menu">${links}</ul><button type="button" data-act="theme">Dark</button></nav>`;
}

function asleep(texts: PageAssets["asleep"]): Markup[] {
  return Object.entries(texts).map(
    ([name, text]) =>
      markup`<script type="text/plain" data-program="${name}">${trustedMarkup(scriptText(text))}</script>`,
  );
}

function pageHtml({ name, title, eyebrow, html, side }: SitePage): Markup {
  const above = eyebrow ? markup`<p class="eyebrow">${eyebrow}</p>` : "";
  const body = markup`<div class="body">${above}<h1>${title}</h1>${html}</div>`;
  const beside = side ? markup`<div class="side">${side}</div>` : "";
  return markup`<article id="page-${name}"${side ? markup` class="two-columns"` : ""}>${body}${beside}</article>`;
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
  return htmlDocument({
    title,
    policy,
    head: markup`<meta name="referrer" content="no-referrer">
${style}
${script}`,
    body: markup`<a class="skip" href="#main">Skip to the content</a>
<header class="top"><div><a class="brand" href="${linkTo(context, "index")}">${brand}Tautline</a>${navigation(context, pages, whole ? undefined : first)}</div></header>
<main id="main">
${joined(shown.map(pageHtml), "\n")}
</main>
<footer class="foot"><div>Grip strength and club speed, from raw trials to checked numbers. These pages load nothing from any network.</div></footer>
${assets.inline ? asleep(assets.asleep) : ""}`,
  });
}
