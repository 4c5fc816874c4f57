/**
 * Lists what has no doc comment: public functions and types, and fields of exported interfaces.
 * `node reference/comments.js [folder of lib/…]` prints file and line; `--json` one document.
 */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";

const lib = fileURLToPath(new URL("../lib/", import.meta.url));
const entries = ["index.ts", ...readdirSync(join(lib, "entries")).map((name) => `entries/${name}`)];

const parsed = new Map();
function sourceOf(path) {
  if (!parsed.has(path)) {
    const text = readFileSync(join(lib, path), "utf8");
    parsed.set(path, ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true));
  }
  return parsed.get(path);
}

function hasComment(node) {
  const owner = ts.isVariableDeclaration(node) ? node.parent.parent : node;
  return ts.getJSDocCommentsAndTags(owner).some(ts.isJSDoc);
}

function place(node, name) {
  const file = node.getSourceFile();
  const { line } = file.getLineAndCharacterOfPosition(node.getStart());
  return { at: `lib/${file.fileName}:${line + 1}`, name };
}

/** The body of an overloaded function: its signatures are what a reader sees. */
function isBehindOverloads(statement, file) {
  if (!ts.isFunctionDeclaration(statement) || !statement.body) return false;
  return file.statements.some(
    (other) =>
      ts.isFunctionDeclaration(other) && !other.body && other.name?.text === statement.name?.text,
  );
}

/** Everything that a file declares by name, at its top. */
function declarations(file) {
  return file.statements.flatMap((statement) => {
    if (isBehindOverloads(statement, file)) return [];
    if (ts.isVariableStatement(statement)) return [...statement.declarationList.declarations];
    return statement.name ? [statement] : [];
  });
}

/** Declarations that the entries export, each once. */
function publicDeclarations() {
  const found = new Set();
  for (const entry of entries) {
    for (const statement of sourceOf(entry).statements.filter(ts.isExportDeclaration)) {
      const from = statement.moduleSpecifier?.text ?? "";
      if (!from.startsWith(".")) continue;
      const file = sourceOf(join(dirname(entry), from).replace(/\.js$/, ".ts"));
      const wanted = statement.exportClause?.elements.map(
        (one) => (one.propertyName ?? one.name).text,
      );
      for (const node of declarations(file)) {
        if (wanted ? wanted.includes(node.name.text) : true) found.add(node);
      }
    }
  }
  return [...found];
}

/** Fields of interfaces and record types that other files can import. */
function publicFields(path) {
  const exported = sourceOf(path).statements.filter(
    (node) =>
      (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) &&
      node.modifiers?.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword),
  );
  return exported.flatMap((node) => {
    const members = node.members ?? (ts.isTypeLiteralNode(node.type) ? node.type.members : []);
    return members.map((member) => ({
      member,
      name: `${node.name.text}.${member.name?.getText() ?? "()"}`,
    }));
  });
}

const sources = readdirSync(lib, { recursive: true })
  .map((path) => path.replaceAll("\\", "/"))
  .filter((path) => /\.ts$/.test(path) && !/^(?:dist|node_modules)\/|\.d\.ts$/.test(path))
  .sort();

const names = publicDeclarations();
const fields = sources.flatMap(publicFields);
const report = {
  names: names.length,
  namesWithout: names
    .filter((node) => !hasComment(node))
    .map((node) => place(node, node.name.text)),
  fields: fields.length,
  fieldsWithout: fields
    .filter(({ member }) => !hasComment(member))
    .map(({ member, name }) => place(member, name)),
};

const asked = process.argv.slice(2);
if (asked.includes("--json")) console.log(JSON.stringify(report));
else {
  const wanted = ({ at }) => asked.length === 0 || asked.some((folder) => at.startsWith(folder));
  for (const { at, name } of [...report.namesWithout, ...report.fieldsWithout].filter(wanted)) {
    console.log(`${at} ${name}`);
  }
}
