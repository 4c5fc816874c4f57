import { type Markup, markup } from "../markup.js";
import type { SiteContext, SitePage } from "./context.js";
import { methodsParts } from "./methods-parts.js";

interface Hashed {
  readonly path: string;
  readonly sha256: string;
}

function hashRow({ path, sha256 }: Hashed): Markup {
  return markup`<tr><th scope="row">${path}</th><td><code title="${sha256}">${sha256.slice(0, 12)}</code></td></tr>`;
}

function table(caption: string, heads: readonly string[], rows: readonly Markup[]): Markup {
  const head = heads.map((name) => markup`<th scope="col">${name}</th>`);
  return markup`<div class="wide" role="region" tabindex="0" aria-label="${caption}"><table><caption>${caption}</caption><thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table></div>`;
}

/** Versions of all that was used, and hashes of all that was read. */
export function versionsPage(context: SiteContext): SitePage {
  const parts = context.parts.map(
    ({ name, version, what }) =>
      markup`<tr><th scope="row">${name}</th><td>${version}</td><td>${what}</td></tr>`,
  );
  const data = context.studies.flatMap(({ name, files }) =>
    files.map(({ path, sha256 }) => ({ path: `data/${name}/${path}`, sha256 })),
  );
  const files = [...context.notebooks, ...data].map(hashRow);
  return {
    name: "versions",
    title: "Versions and hashes",
    section: "methods",
    html: markup`${methodsParts(context)}<p>A result can be repeated exactly when these are the same. Hashes are the first 12 digits of the SHA-256 of whole files; an archive carries them in full.</p>${table("Programs", ["Name", "Version", "What it did"], parts)}${table("Files", ["File", "SHA-256"], files)}`,
  };
}
