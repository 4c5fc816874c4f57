import type { Outdated } from "./manuscript-comparison.js";
import type { PackageFiles, ReturnedPackage } from "./returned-package.js";
import { partOfXml } from "./word-parts.js";
import { childOf, elementsOf, type XmlElement, type XmlNode, xmlText } from "./xml-tree.js";

/** The name that tracked changes carry. */
const author = "Tautline";

/**
 * The files of a returned document with its outdated numbers replaced, each replacement as a tracked
 * change that the author accepts or rejects. Everything else stays.
 * @see ECMA-376, part 1, section 17.13.5 (revisions)
 */
export function revisedFiles(
  { files, parts }: ReturnedPackage,
  outdated: readonly Outdated[],
): PackageFiles {
  let id = Math.max(0, ...parts.flatMap(({ root }) => revisionIds(root)));
  for (const { control, recorded } of outdated) {
    const content = childOf(control.element, "w:sdtContent");
    if (content === undefined) continue;
    id = replaceText(content, recorded, id);
  }
  const revised = new Map(files);
  for (const { name, root } of parts) revised.set(name, partOfXml(xmlText(root)));
  return revised;
}

function revisionIds(root: XmlElement): number[] {
  return ["w:ins", "w:del", "w:moveFrom", "w:moveTo"]
    .flatMap((name) => elementsOf(root, name))
    .map(({ attributes }) => Number(attributes["w:id"]))
    .filter(Number.isInteger);
}

function element(
  name: string,
  attributes: Readonly<Record<string, string>>,
  ...children: XmlNode[]
): XmlElement {
  return { kind: "element", name, attributes, children };
}

/** Marks the runs of a control as deleted and puts one with the new text behind them. */
function replaceText(content: XmlElement, text: string, lastId: number): number {
  let id = lastId;
  const runs = elementsOf(content, "w:r").filter((run) => !isDeleted(content, run));
  const look = runs.map((run) => childOf(run, "w:rPr")).find((found) => found !== undefined);
  for (const holder of [content, ...runHolders(content)]) {
    for (const [i, child] of holder.children.entries()) {
      if (child.kind !== "element" || !runs.includes(child)) continue;
      id += 1;
      holder.children[i] = element("w:del", revision(id), deletedRun(child));
    }
  }
  id += 1;
  const written = element(
    "w:r",
    {},
    ...(look ? [look] : []),
    element("w:t", { "xml:space": "preserve" }, { kind: "text", text }),
  );
  const inserted = element("w:ins", revision(id), written);
  const last = elementsOf(content, "w:p").at(-1) ?? content;
  last.children.push(inserted);
  return id;
}

/** Every element below that may hold runs: paragraphs, insertions, links, controls inside. */
function runHolders(element: XmlElement): XmlElement[] {
  return element.children.flatMap((child) =>
    child.kind === "element" && child.name !== "w:r" ? [child, ...runHolders(child)] : [],
  );
}

function revision(id: number): Record<string, string> {
  return { "w:id": String(id), "w:author": author };
}

function isDeleted(content: XmlElement, run: XmlElement): boolean {
  return ["w:del", "w:moveFrom"].some((name) =>
    elementsOf(content, name).some((removed) => elementsOf(removed, "w:r").includes(run)),
  );
}

/** Text in a deleted run has a name of its own. */
function deletedRun(run: XmlElement): XmlElement {
  const children = run.children.map((child) =>
    child.kind === "element" && child.name === "w:t"
      ? { ...child, name: "w:delText", attributes: { "xml:space": "preserve" } }
      : child,
  );
  return { ...run, children };
}
