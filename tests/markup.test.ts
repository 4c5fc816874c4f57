import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import ts from "@tslab/typescript-for-tslab";
import { JSDOM } from "jsdom";
import { describe, expect, it } from "vitest";
import { InputError } from "../lib/errors.js";
import {
  type Insert,
  joined,
  type Markup,
  markup,
  nothing,
  proseHtml,
  trustedMarkup,
} from "../lib/markup.js";

const hostile = `</p></script><img src=x onerror="alert(1)"> ' & "`;
const body = (html: Markup) => new JSDOM(`<body>${html}</body>`).window.document.body;

describe("markup", () => {
  it("escapes the five characters that could begin or end something", () => {
    expect(String(markup`${`<a href="x" id='y'>&`}`)).toBe(
      "&lt;a href=&quot;x&quot; id=&#39;y&#39;&gt;&amp;",
    );
  });

  it("gives every text back as it was, in content and in attributes", () => {
    const [p] = body(markup`<p title="${hostile}" data-x="${hostile}">${hostile}</p>`).children;
    expect(p!.textContent).toBe(hostile);
    expect(p!.getAttribute("title")).toBe(hostile);
    expect(p!.getAttribute("data-x")).toBe(hostile);
    expect(p!.children).toHaveLength(0);
  });

  it("keeps markup, joins lists and writes numbers", () => {
    const items = ["a < b", markup`<b>c</b>`, 3].map((one) => markup`<li>${one}</li>`);
    expect(String(markup`<ul>${items}${nothing}</ul>`)).toBe(
      "<ul><li>a &lt; b</li><li><b>c</b></li><li>3</li></ul>",
    );
    expect(String(joined(["a & b", markup`<b>c</b>`], markup`<br>`))).toBe("a &amp; b<br><b>c</b>");
  });

  const addresses = [
    "https://example.org/a?b=c&d",
    "mailto:a@example.org",
    "#finding-3",
    "page.html#a:b",
    "../data/x.csv",
  ];
  it.each(addresses)("takes %s as an address", (address) => {
    const [a] = body(markup`<a href="${address}">x</a>`).children;
    expect(a!.getAttribute("href")).toBe(address);
  });

  const bad = [
    "javascript:alert(1)",
    " javascript:alert(1)",
    "java\nscript:alert(1)",
    "JaVaScRiPt:alert(1)",
    "data:text/html,<script>alert(1)</script>",
    "data:image/svg+xml,<svg/>",
    "vbscript:x",
    "//example.org/x",
    "file:///etc/hosts",
  ];
  it.each(bad)("refuses %j as an address", (address) => {
    expect(() => markup`<a class="x" href="${address}">x</a>`).toThrow(InputError);
    expect(() => markup` href="${address}"`).toThrow(InputError);
  });

  it("takes a picture as data only as the source of an image", () => {
    const picture = "data:image/png;base64,AAAA";
    expect(String(markup`<img src="${picture}">`)).toContain(picture);
    expect(() => markup`<img src="data:text/html,x" alt="${"y"}">`).not.toThrow();
    expect(() => markup`<img src="${"data:text/html,x"}">`).toThrow(InputError);
  });

  it("takes colours and numbers into a style, and nothing that could end the declaration", () => {
    expect(String(markup`<i style="color:${"var(--ink, #1d2733)"};width:${2.5}px">`)).toContain(
      "color:var(--ink, #1d2733);width:2.5px",
    );
    for (const value of ["red;background:url(x)", "url(x)", 'x"', "expression(1)", "\\65"]) {
      expect(() => markup`<i style="color:${value}">`).toThrow(InputError);
    }
  });

  it("takes no text between attributes, in a script, in a style sheet or in a handler", () => {
    expect(() => markup`<p ${"onclick=x"}>`).toThrow(InputError);
    expect(() => markup`<p class=${"x"}>`).toThrow(InputError);
    expect(() => markup`<script>${"x"}</script>`).toThrow(InputError);
    expect(() => markup`<style>${"x"}</style>`).toThrow(InputError);
    expect(() => markup`<p onclick="${"x"}">`).toThrow(InputError);
    expect(String(markup`<script>${trustedMarkup("1 < 2")}</script><b>${"<"}</b>`)).toBe(
      "<script>1 < 2</script><b>&lt;</b>",
    );
    expect(String(markup`<p${markup` class="${'"'}"`}>`)).toBe('<p class="&quot;">');
  });

  it("refuses what has no text, and never writes undefined", () => {
    for (const value of [undefined, null, {}, true, () => 1, Symbol("x")]) {
      expect(() => markup`<p>${value as unknown as Insert}</p>`).toThrow(InputError);
    }
  });

  it("is not fooled by a record that looks like markup", () => {
    const fake = { toString: () => "<b>" } as unknown as Insert;
    expect(() => markup`${fake}`).toThrow(InputError);
  });

  it("keeps a number and its unit on one line", () => {
    expect(String(proseHtml("change 2.6 kgf (95 % interval 1.9 to 3.4)"))).toBe(
      "change 2.6&nbsp;kgf (95&nbsp;% interval 1.9 to 3.4)",
    );
    expect(String(proseHtml("<b> & 5 mph"))).toBe("&lt;b&gt; &amp; 5&nbsp;mph");
  });
});

const lib = resolve(import.meta.dirname, "../lib");
const sources = readdirSync(lib, { recursive: true, encoding: "utf8" })
  .map((path) => path.split("\\").join("/"))
  .filter((path) => /\.ts$/.test(path) && !/^(dist|node_modules)\//.test(path))
  .map((path) => ({ path, text: readFileSync(join(lib, path), "utf8") }));

const elements =
  "a abbr article aside b body button caption circle code dd defs desc details div dl dt em figcaption figure font footer form g h1 h2 h3 h4 head header html i iframe image img input label legend li line link main meta nav object ol option p path pre q rect row script section select sheet small span strong style sub summary sup svg table tbody td text th thead title tr ul use worksheet";
const element = new RegExp(
  `<[/]?(?:${elements.replaceAll(" ", "|")})(?=[\\s>/]|$)|<!doctype|<\\?xml`,
  "i",
);
/** How an option of the command line is written: "--title <text>". */
const option = /^--[\w-]+ <[a-z]+>$/;

/** The fixed text of a string or a template. */
function fixedText(node: ts.Node): string | undefined {
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) return node.text;
  if (!ts.isTemplateExpression(node)) return undefined;
  return [node.head, ...node.templateSpans.map(({ literal }) => literal)]
    .map(({ text }) => text)
    .join("x");
}

function isTagged({ parent }: ts.Node): boolean {
  return ts.isTaggedTemplateExpression(parent) && parent.tag.getText() === "markup";
}

/** Strings and templates that write an element without the tag. */
function untagged({ path, text }: { path: string; text: string }): string[] {
  if (!element.test(text)) return [];
  const file = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
  const found: string[] = [];
  const visit = (node: ts.Node) => {
    const words = fixedText(node);
    if (words !== undefined && element.test(words) && !option.test(words) && !isTagged(node)) {
      const { line } = file.getLineAndCharacterOfPosition(node.getStart());
      found.push(`${path}:${line + 1}: ${words.slice(0, 60)}`);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

describe("markup in lib/", () => {
  it("is made by the tag and by nothing else", () => {
    expect(sources.flatMap(untagged)).toEqual([]);
  });

  it("would be found where it is not", () => {
    const text = ["const a = `<p>`;", "const b = '<img>';", `const c = \`\${x}</td>\`;`];
    expect(untagged({ path: "x.ts", text: text.join("\n") })).toHaveLength(3);
    expect(untagged({ path: "x.ts", text: "const a = markup`<p>x</p>`;" })).toEqual([]);
  });

  // A page that is watched takes pieces that its own server made with the tag.
  const fromServer = "report/page-script.ts: template.innerHTML = html;";

  it("enters a page only as the tag's text", () => {
    const entries = sources.flatMap(({ path, text }) =>
      [
        ...text.matchAll(
          /\w+\.(?:inner|outer)HTML\s*=\s*([^\n]{0,30})|insertAdjacentHTML|document\.write/g,
        ),
      ]
        .filter(([, value = ""]) => !/^(?:String|pictureSvg)\(/.test(value.trim()))
        .map(([all]) => `${path}: ${all}`),
    );
    expect(entries).toEqual([fromServer]);
  });

  it("is trusted without the tag in few places, each named here with what it trusts", () => {
    const trusting = sources.filter(
      ({ path, text }) => path !== "markup.ts" && /trustedMarkup\(/.test(text),
    );
    expect(trusting.map(({ path }) => path).sort()).toEqual([
      "report/coach-page.ts", // a picture made by the tag, some of its words exchanged for plain ones
      "report/drawing-markup.ts", // parts of a drawing as plotly wrote it
      "report/drawing.ts", // a drawing, and its own attributes
      "report/figure-files.ts", // a drawing's own attributes
      "report/figure-html.ts", // drawings found plain, JSON without "<"
      "report/first-use.ts", // markup of this library, with links put in
      "report/form-page.ts", // program, style sheet, the study's design as JSON without "<"
      "report/handout-frame.ts", // style sheet and content policy
      "report/live-output.ts", // program and style sheet
      "report/markdown.ts", // what the Markdown renderer made without raw HTML
      "report/marks-page.ts", // style sheet
      "report/page-frame.ts", // programs, style sheet, content policy
      "report/simulation-html.ts", // drawings found plain
      "study/plan/sheets-page.ts", // style sheet
    ]);
  });
});
