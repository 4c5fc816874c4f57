import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { compareManuscript } from "../../lib/manuscript/manuscript-comparison.js";
import { manuscriptDraft } from "../../lib/manuscript/manuscript-draft.js";
import { returnedPackage } from "../../lib/manuscript/returned-package.js";
import { returnedText } from "../../lib/manuscript/returned-text.js";
import { revisedFiles } from "../../lib/manuscript/tracked-revision.js";
import { elementsOf, readXml, xmlText } from "../../lib/manuscript/xml-tree.js";
import {
  compared,
  documentXml,
  edited,
  type Files,
  sampleFacts,
  written,
  wrong,
} from "./sample.js";

const facts = sampleFacts();
const original = written(facts);

/** The document with one part more, or another text in a part. */
function withPart(name: string, change: (text: string) => string): ReadonlyMap<string, Uint8Array> {
  const files = new Map(original);
  const before = Buffer.from(files.get(name) ?? new Uint8Array()).toString("utf8");
  return files.set(name, Buffer.from(change(before), "utf8"));
}

const relations = "word/_rels/document.xml.rels";
const relation =
  (type: string, target: string, mode = "") =>
  (text: string) =>
    text.replace(
      "</Relationships>",
      `<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/${type}" Target="${target}"${mode}/></Relationships>`,
    );
const outside = ' TargetMode="External"';

const hostile: [string, () => ReadonlyMap<string, Uint8Array>, RegExp][] = [
  [
    "a document type",
    () =>
      withPart("word/document.xml", (text) =>
        text.replace("<w:document", '<!DOCTYPE x SYSTEM "file:///etc/passwd"><w:document'),
      ),
    /document type/,
  ],
  [
    "entities that grow",
    () =>
      withPart("word/document.xml", (text) =>
        text.replace(
          "<w:document",
          '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><w:document',
        ),
      ),
    /document type/,
  ],
  [
    "a document type in another part",
    () =>
      withPart("docProps/custom.xml", (text) =>
        text.replace("<Properties", "<!DOCTYPE x><Properties"),
      ),
    /document type/,
  ],
  ["macros", () => withPart("word/vbaProject.bin", () => "x"), /macros/],
  [
    "a macro type",
    () =>
      withPart("[Content_Types].xml", (text) =>
        text.replace(
          "wordprocessingml.document.main+xml",
          "ms-word.document.macroEnabled.main+xml",
        ),
      ),
    /macros/,
  ],
  [
    "an embedded object",
    () => withPart("word/embeddings/oleObject1.bin", () => "x"),
    /embedded object/,
  ],
  [
    "a picture from the web",
    () => withPart(relations, relation("image", "https://example.org/a.png", outside)),
    /fetched from/,
  ],
  [
    "a template on a server",
    () => withPart(relations, relation("attachedTemplate", "file:////server/a.dotm", outside)),
    /fetched from/,
  ],
  [
    "a link that runs a program",
    () => withPart(relations, relation("hyperlink", "javascript:alert(1)", outside)),
    /fetched from/,
  ],
  [
    "a part that climbs out",
    () => withPart(relations, relation("image", "../../../etc/passwd")),
    /inside the document/,
  ],
  [
    "XML that is cut short",
    () => withPart("word/document.xml", (text) => text.slice(0, 4000)),
    /well-formed XML/,
  ],
  [
    "XML that is nested too deeply",
    () =>
      withPart("word/document.xml", (text) =>
        text.replace("<w:body>", `<w:body>${"<w:p>".repeat(500)}`),
      ),
    /inside one another/,
  ],
  [
    "a spreadsheet",
    () =>
      withPart("[Content_Types].xml", (text) =>
        text.replace("wordprocessingml.document.main", "spreadsheetml.sheet.main"),
      ),
    /another kind/,
  ],
  ["a zip file of other things", () => new Map([["a.txt", Buffer.from("x")]]), /another kind/],
];

describe("a returned document", () => {
  it.each(hostile)("with %s is refused", (_, files, message) => {
    const open = () => returnedPackage(files(), "paper.docx");
    expect(open).toThrow(InputError);
    expect(open).toThrow(message);
    expect(open).toThrow(/^paper\.docx/);
  });

  it("may have links to pages and mail addresses", () => {
    const files = withPart(relations, relation("hyperlink", "https://example.org/", outside));
    expect(() => returnedPackage(files, "paper.docx")).not.toThrow();
  });

  it("comes out of reading and writing as it was", () => {
    const xml = documentXml(original).replace(/^<\?xml.*?\?>\n/, "");
    const plain = xml.replace(/<(w:\w+)([^>]*)><\/\1>/g, "<$1$2/>").replaceAll("&#39;", "'");
    expect(xmlText(readXml(xml, "document")) === plain).toBe(true);
  });
});

describe("a revision", () => {
  it("brings numbers up to date as tracked changes, and then agrees", () => {
    const typed = edited(original, (xml) =>
      xml.replace(/>2\.4</, ">2.9<").replace(/>4\.2</g, ">4.8<"),
    );
    const revised = revise(typed);
    const xml = documentXml(revised);
    expect(xml.match(/<w:del /g)).toHaveLength(3);
    expect(xml.match(/<w:delText[^>]*>2\.9</g)).toHaveLength(1);
    expect(xml.match(/<w:ins /g)).toHaveLength(3);
    expect(compared(facts, revised).agrees).toBe(true);
    expect(wrong(compared(facts, typed))).toHaveLength(3);
  });

  it.each(["header1", "footnotes"])("reads and corrects a number in %s", (part) => {
    const xml = documentXml(original);
    const [control = ""] =
      /<w:sdt>(?:(?!<\/w:sdt>).)*\/primary\/value@.*?<\/w:sdt>/s.exec(xml) ?? [];
    const root = part === "header1" ? "hdr" : "footnotes";
    const [start = ""] = /<w:document [^>]*>/.exec(xml) ?? [];
    const text = `${start.replace("w:document", `w:${root}`)}<w:p>${control.replace(">2.4<", ">2.9<")}</w:p></w:${root}>`;
    const files = new Map(original).set(`word/${part}.xml`, Buffer.from(text));
    const [place] = wrong(compared(facts, files)).map((one) => one.place);
    expect(place).toBe(`${part === "header1" ? "header" : "footnote"}, paragraph 1`);
    expect(compared(facts, revise(files)).agrees).toBe(true);
  });

  it("writes p without its letter where a column of the table has it", () => {
    const typed = edited(original, (xml) =>
      xml.replace(/(\/speed\/p@.*?)>&lt; 0\.001</s, "$1>0.04<"),
    );
    expect(wrong(compared(facts, typed)).map(({ recorded }) => recorded)).toEqual(["< 0.001"]);
    expect(compared(facts, revise(typed)).agrees).toBe(true);
  });

  it("corrects a number inside a link", () => {
    const typed = edited(original, (xml) =>
      xml.replace(
        /<w:r><w:t xml:space="preserve">2\.4<\/w:t><\/w:r>/,
        '<w:hyperlink w:anchor="x"><w:r><w:t>3.0</w:t></w:r></w:hyperlink>',
      ),
    );
    expect(compared(facts, revise(typed)).agrees).toBe(true);
  });

  it("keeps every other part, and earlier tracked changes", () => {
    const typed = edited(original, (xml) =>
      xml.replace(
        /<w:r><w:t xml:space="preserve">2\.4<\/w:t><\/w:r>/,
        '<w:del w:id="41" w:author="A"><w:r><w:delText>2.4</w:delText></w:r></w:del><w:ins w:id="42" w:author="A"><w:r><w:t>3.0</w:t></w:r></w:ins>',
      ),
    );
    const revised = revise(typed);
    const ids = elementsOf(readXml(documentXml(revised), "document"), "w:ins").map(
      ({ attributes }) => attributes["w:id"],
    );
    expect(new Set(ids).size).toBe(ids.length);
    expect(compared(facts, revised).agrees).toBe(true);
    for (const [name, bytes] of typed) {
      if (name !== "word/document.xml") expect(revised.get(name)).toEqual(bytes);
    }
  });
});

function revise(files: Files): Files {
  const document = returnedPackage(files, "paper.docx");
  // The controls to replace belong to the document that is written.
  const text = returnedText(document);
  const { outdated } = compareManuscript(facts, manuscriptDraft(facts), text);
  return revisedFiles(document, outdated);
}
