import { posix } from "node:path";
import { InputError } from "../errors.js";
import { elementsOf, readXml, type XmlElement } from "./xml-tree.js";

/** The files of a returned document, by their names in the package. */
export type PackageFiles = ReadonlyMap<string, Uint8Array>;

/** What is refused, as words of a message. */
interface Refusal {
  readonly expected: string;
  readonly got: string;
}

/** A returned document, read and found harmless. */
export interface ReturnedPackage {
  /** Its files. */
  readonly files: PackageFiles;
  /** The main part, notes, headers and footers, with their names: what a reader sees. */
  readonly parts: readonly { readonly name: string; readonly root: XmlElement }[];
  /** Pictures that the main part shows, by the id of their relation. */
  readonly pictures: ReadonlyMap<string, Uint8Array>;
  /** The study that the document says it is about. */
  readonly study: string | undefined;
}

const documentType =
  "application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml";

/** Parts with text of their own. Comments are a conversation about the text, not a part of it. */
const otherTexts = /^word\/(?:footnotes|endnotes|header\d*|footer\d*)\.xml$/;

/** Links to a page or a mail address are a text's own; anything else outside is never opened. */
const plainLinks = /^(?:https?:|mailto:)/i;

/**
 * Reads the parts of a returned Word document. Nothing in it is run and nothing outside it is opened.
 * @param where name of the file, for messages
 * @throws InputError for another kind of file, macros, embedded programs, parts outside the package,
 *   or XML that could fetch something
 */
export function returnedPackage(files: PackageFiles, where: string): ReturnedPackage {
  const refuse = ({ expected, got }: Refusal): never => {
    throw new InputError({ expected, got, where });
  };
  const main = mainPart(files, where, refuse);
  for (const name of files.keys()) refuseProgram(name, refuse);
  for (const [name, bytes] of files) {
    if (name.endsWith(".rels")) refuseOutside(name, rootOf(bytes, `${where}, ${name}`), refuse);
  }
  const shown = [main, ...[...files.keys()].filter((name) => otherTexts.test(name)).sort()];
  const parts = shown.map((name) => ({
    name,
    root: rootOf(files.get(name), `${where}, ${name}`),
  }));
  return { files, parts, pictures: picturesOf(files, main, where), study: studyOf(files, where) };
}

function rootOf(bytes: Uint8Array | undefined, where: string): XmlElement {
  if (bytes === undefined) {
    throw new InputError({ expected: "a complete Word document", got: "a missing part", where });
  }
  try {
    return readXml(new TextDecoder("utf-8", { fatal: true }).decode(bytes), where);
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError({ expected: "XML in UTF-8", got: "other bytes", where });
  }
}

type Refuse = (refusal: Refusal) => never;

function mainPart(files: PackageFiles, where: string, refuse: Refuse): string {
  const types = files.get("[Content_Types].xml");
  const expected = "a Word document (.docx)";
  if (types === undefined) return refuse({ expected, got: "a zip file of another kind" });
  const overrides = elementsOf(rootOf(types, `${where}, [Content_Types].xml`), "Override");
  const macros = overrides.some(({ attributes }) =>
    /macroEnabled/i.test(attributes.ContentType ?? ""),
  );
  if (macros) return refuse({ expected: "a Word document without macros", got: "one with macros" });
  const main = overrides.find(({ attributes }) => attributes.ContentType === documentType);
  const name = main?.attributes.PartName?.replace(/^\//, "");
  if (name === undefined || !files.has(name)) {
    return refuse({ expected, got: "an office file of another kind" });
  }
  return name;
}

function refuseProgram(name: string, refuse: Refuse): void {
  const expected = "a Word document without programs";
  if (/vbaProject|vbaData/i.test(name)) refuse({ expected, got: `macros (${name})` });
  if (/(?:^|\/)(?:activeX|embeddings)\//i.test(name)) {
    refuse({ expected, got: `an embedded object (${name})` });
  }
}

/** A relation may lead to a part inside, or be a plain link of the text. */
function refuseOutside(name: string, root: XmlElement, refuse: Refuse): void {
  const folder = posix.dirname(posix.dirname(name));
  for (const { attributes } of elementsOf(root, "Relationship")) {
    const target = attributes.Target ?? "";
    const quotedTarget = JSON.stringify(target.slice(0, 80));
    if (attributes.TargetMode === "External") {
      if (/\/hyperlink$/.test(attributes.Type ?? "") && plainLinks.test(target)) continue;
      refuse({
        expected: "a document that contains all it shows",
        got: `a part that is fetched from ${quotedTarget}`,
      });
    }
    const path = posix.normalize(
      target.startsWith("/") ? target.slice(1) : posix.join(folder, target),
    );
    if (path.startsWith("../") || /^[a-z][a-z0-9+.-]*:/i.test(target)) {
      refuse({ expected: "parts inside the document", got: `a part at ${quotedTarget}` });
    }
  }
}

function picturesOf(files: PackageFiles, main: string, where: string): Map<string, Uint8Array> {
  const folder = posix.dirname(main);
  const name = `${folder}/_rels/${posix.basename(main)}.rels`;
  const relations = files.get(name);
  const pictures = new Map<string, Uint8Array>();
  if (relations === undefined) return pictures;
  for (const { attributes } of elementsOf(rootOf(relations, `${where}, ${name}`), "Relationship")) {
    const { Id: id, Type: type = "", Target: target = "" } = attributes;
    if (id === undefined || !type.endsWith("/image")) continue;
    const path = target.startsWith("/") ? target.slice(1) : posix.join(folder, target);
    const bytes = files.get(path);
    if (bytes) pictures.set(id, bytes);
  }
  return pictures;
}

/** The study by the document's own properties; a document that lost them still has its tags. */
function studyOf(files: PackageFiles, where: string): string | undefined {
  const bytes = files.get("docProps/custom.xml");
  if (bytes === undefined) return undefined;
  const properties = elementsOf(rootOf(bytes, `${where}, docProps/custom.xml`), "property");
  const study = properties.find(({ attributes }) => attributes.name === "tautline-study");
  const [value] = study?.children ?? [];
  const [text] = value?.kind === "element" ? value.children : [];
  return text?.kind === "text" ? text.text : undefined;
}
