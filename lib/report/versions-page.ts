import { escapeHtml } from "../show/markup.js";
import type { SiteContext, SitePage } from "./context.js";

interface Hashed {
  readonly path: string;
  readonly sha256: string;
}

function hashRow({ path, sha256 }: Hashed): string {
  return `<tr><th scope="row">${escapeHtml(path)}</th><td><code class="hash">${escapeHtml(sha256)}</code></td></tr>`;
}

function table(caption: string, heads: readonly string[], rows: readonly string[]): string {
  const head = heads.map((name) => `<th scope="col">${name}</th>`).join("");
  return `<div class="wide" role="region" tabindex="0" aria-label="${caption}"><table><caption>${caption}</caption><thead><tr>${head}</tr></thead><tbody>${rows.join("")}</tbody></table></div>`;
}

/** Versions of all that was used, and hashes of all that was read. */
export function versionsPage(context: SiteContext): SitePage {
  const parts = context.parts.map(
    ({ name, version, what }) =>
      `<tr><th scope="row">${escapeHtml(name)}</th><td>${escapeHtml(version)}</td><td>${escapeHtml(what)}</td></tr>`,
  );
  const data = context.studies.flatMap(({ name, files }) =>
    files.map(({ path, sha256 }) => ({ path: `data/${name}/${path}`, sha256 })),
  );
  const files = [...context.notebooks, ...data].map(hashRow);
  return {
    name: "versions",
    title: "Versions and hashes",
    menu: "Versions",
    html: `<p>A result can be repeated exactly when these are the same. Hashes are SHA-256 of whole files.</p>${table("Programs", ["Name", "Version", "What it did"], parts)}${table("Files", ["File", "SHA-256"], files)}`,
  };
}
