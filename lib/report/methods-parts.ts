import { type Markup, markup } from "../markup.js";
import { isCheck, linkTo, type SiteContext } from "./context.js";

/** Links between the pages on methods and data. */
export function methodsParts(context: SiteContext): Markup {
  const pages = [
    ...(context.studies.length > 0
      ? [
          { name: "methods", title: "Methods" },
          { name: "data-checks", title: "Data checks" },
        ]
      : []),
    { name: "versions", title: "Versions and hashes" },
    ...context.notebooks.filter(isCheck).map(({ slug, title }) => ({ name: slug, title })),
  ];
  const links = pages.map(
    ({ name, title }) => markup`<li><a href="${linkTo(context, name)}">${title}</a></li>`,
  );
  return markup`<ul class="parts">${links}</ul>`;
}
