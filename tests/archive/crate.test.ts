import { describe, expect, it } from "vitest";
import { citationText } from "../../lib/archive/citation.js";
import { crateMetadata, identifier, noLicence } from "../../lib/archive/crate.js";
import type { CrateInput } from "../../lib/archive/crate-parts.js";
import { asWorkspace, lockedFor, publicPackages } from "../../lib/archive/lockfile.js";
import { breachesOf } from "./crate-rules.js";

const file = (path: string) => ({
  path,
  name: path,
  mediaType: "text/csv",
  bytes: 3,
  sha256: "0".repeat(64),
});

const input: CrateInput = {
  name: "A small study",
  description: "Three golfers squeezed twice.",
  version: "1.0.0",
  date: "2025-03-01",
  keywords: ["grip"],
  licences: [{ url: "https://creativecommons.org/publicdomain/zero/1.0/", name: "CC0-1.0" }],
  contributors: [
    { title: "A. Author", givenName: "A", familyName: "Author", email: "a.author@example.org" },
    {
      title: "B. Author",
      path: "https://orcid.org/0000-0002-1825-0097",
      email: "a.author@example.org",
    },
  ],
  files: ["README.md", "data/a b/grip 50%#1.csv", "notebooks/größe.ipynb", "out/index.html"].map(
    file,
  ),
  folders: [
    { path: "data/a b/", name: "The study", description: "Raw trials" },
    { path: "notebooks/", name: "Notebooks", description: "The analysis" },
    { path: "out/", name: "Report", description: "Pages" },
  ],
  programs: [
    { name: "tautline", version: "0.1.0", url: "notebooks/", what: "library" },
    { name: "Node.js", version: "20.19.0", url: "https://nodejs.org/", what: "runtime" },
    { name: "tslab", version: "1.0.22", url: "https://github.com/yunabe/tslab", what: "kernel" },
  ],
  runs: [
    {
      name: "Run of notebooks/größe.ipynb",
      description: "Ran every cell",
      read: ["data/a b/grip 50%#1.csv"],
      made: ["notebooks/größe.ipynb"],
      programs: ["tautline", "Node.js", "tslab"],
    },
  ],
};
const paths = input.files.map(({ path }) => path);
const crate = () => JSON.parse(JSON.stringify(crateMetadata(input)));
const breaches = (document: unknown) => breachesOf(JSON.stringify(document), paths);

describe("RO-Crate metadata", () => {
  it("keeps every MUST of RO-Crate 1.2", () => {
    expect(breaches(crate())).toEqual([]);
  });

  it("keeps them with nothing known but the files", () => {
    const bare = { ...input, licences: [], contributors: [], keywords: [], version: undefined };
    const document = JSON.parse(JSON.stringify(crateMetadata(bare)));
    expect(breaches(document)).toEqual([]);
    const root = document["@graph"].find((one: { "@id": string }) => one["@id"] === "./");
    expect(root.license).toBe(noLicence);
    expect(root.author).toBeUndefined();
  });

  const spoilt: [
    string,
    (graph: Record<string, unknown>[], document: Record<string, unknown>) => void,
  ][] = [
    [
      "structure: context by reference",
      (_, document) => (document["@context"] = "https://schema.org/"),
    ],
    ["root-data-entity: conformsTo a version", (graph) => delete graph[0]!.conformsTo],
    ["root-data-entity: datePublished", (graph) => (graph[1]!.datePublished = "March 2025")],
    ["root-data-entity: license", (graph) => delete graph[1]!.license],
    ["contextual-entities: each @id once", (graph) => graph.push({ ...graph[2] })],
    [
      "appendix/jsonld: author flattened",
      (graph) => (graph[1]!.author = { "@id": "#x", name: "X" }),
    ],
    [
      "data-entities: README.md part of the root",
      (graph) => {
        graph[1]!.hasPart = (graph[1]!.hasPart as { "@id": string }[]).filter(
          (part) => part["@id"] !== "README.md",
        );
      },
    ],
    [
      "workflows: version of #program-tslab",
      (graph) => {
        delete graph.find((one) => one["@id"] === "#program-tslab")!.version;
      },
    ],
    ["structure: #nobody described", (graph) => (graph[1]!.author = { "@id": "#nobody" })],
    ["appendix/jsonld: a b.csv as a URI", (graph) => (graph[2]!["@id"] = "a b.csv")],
  ];
  it.each(spoilt)("the rules would catch a breach: %s", (rule, spoil) => {
    const document = crate();
    spoil(document["@graph"], document);
    expect(breaches(document)).toContain(rule);
  });

  it("writes paths as URI references", () => {
    expect(identifier("data/a b/50%#1?.csv")).toBe("data/a%20b/50%25%231%3F.csv");
    expect(identifier("notebooks/größe.ipynb")).toBe("notebooks/größe.ipynb");
    expect(decodeURIComponent(identifier("a:b/c[1].csv"))).toBe("a:b/c[1].csv");
  });
});

describe("CITATION.cff", () => {
  const asked = {
    ...input,
    title: input.name,
    abstract: 'Says "so":\n# yes',
    authorsGoTo: "data/x/datapackage.json",
  };

  it("names the authors that the descriptor names, and quotes every text", () => {
    expect(citationText(asked)).toBe(`cff-version: 1.2.0
type: dataset
message: "Please cite this archive if you use its data or results."
title: "A small study"
abstract: "Says \\"so\\":\\n# yes"
authors:
  - family-names: "Author"
    given-names: "A"
  - name: "B. Author"
    orcid: "https://orcid.org/0000-0002-1825-0097"
version: "1.0.0"
date-released: "2025-03-01"
license: CC0-1.0
keywords:
  - "grip"
`);
  });

  it("makes up no author and no licence", () => {
    const text = citationText({ ...asked, contributors: [], licences: [] });
    expect(text).toContain(
      '  - name: "(authors: name them under contributors in data/x/datapackage.json)"',
    );
    expect(text).not.toContain("license");
    const own = citationText({
      ...asked,
      licences: [{ name: "ours", url: "https://example.org/l" }],
    });
    expect(own).toContain('license-url: "https://example.org/l"');
  });
});

describe("the lockfile of an archive", () => {
  const lockfile = {
    lockfileVersion: 3,
    packages: {
      "": { name: "whole", dependencies: { a: "1.0.0" }, devDependencies: { big: "1.0.0" } },
      lib: { name: "library", dependencies: { b: "1.0.0" } },
      tools: { name: "tools", devDependencies: { big: "1.0.0" } },
      "node_modules/library": { resolved: "lib", link: true },
      "node_modules/tools": { resolved: "tools", link: true },
      "node_modules/a": { version: "1.0.0", dependencies: { c: "^2" } },
      "node_modules/a/node_modules/c": { version: "2.0.0", optionalDependencies: { d: "1" } },
      "node_modules/b": { version: "1.0.0" },
      "node_modules/c": { version: "3.0.0" },
      "node_modules/d": { version: "1.0.0" },
      "node_modules/big": { version: "1.0.0", dependencies: { c: "^3" } },
    },
  };

  it("keeps what is needed, in its place, and nothing else", () => {
    const manifest = {
      name: "small",
      version: "0.1.0",
      workspaces: ["lib"],
      dependencies: { a: "1.0.0" },
    };
    const { packages } = lockedFor(manifest, lockfile);
    expect(Object.keys(packages)).toEqual([
      "",
      "lib",
      "node_modules/library",
      "node_modules/a",
      "node_modules/a/node_modules/c",
      "node_modules/b",
      "node_modules/d",
    ]);
    expect(packages[""]).toEqual(manifest);
  });

  const integrity = "sha512-AAAA";
  const manifest = { name: "small", version: "0.1.0", workspaces: ["lib"], dependencies: {} };
  /** What npm writes in a folder of one's own where the library is one of the tools. */
  const own = {
    lockfileVersion: 3,
    packages: {
      "": { name: "mine", devDependencies: { tautline: "file:../tautline-0.1.0.tgz" } },
      "node_modules/@x/b": { version: "2.0.0", integrity, dev: true },
      "node_modules/c": {
        name: "@y/c",
        version: "3.0.0",
        integrity,
        devOptional: true,
        resolved: "https://mirror.example/npm/@y%2fc/-/c-3.0.0.tgz",
      },
      "node_modules/tautline": {
        version: "0.1.0",
        resolved: "file:../tautline-0.1.0.tgz",
        integrity,
        dev: true,
        dependencies: { "@x/b": "2.0.0", d: "1.0.0" },
        optionalDependencies: { c: "3.0.0" },
      },
      "node_modules/tautline/node_modules/d": {
        version: "1.0.0",
        integrity,
        dev: true,
        resolved: "https://registry.npmjs.org/d/-/d-1.0.0.tgz",
      },
    },
  };

  it("has the installed library as its workspace, and packages of the public registry only", () => {
    const locked = lockedFor(manifest, asWorkspace(own, "node_modules/tautline"));
    expect(publicPackages(locked).packages).toEqual({
      "": manifest,
      lib: {
        name: "tautline",
        version: "0.1.0",
        dependencies: { "@x/b": "2.0.0", d: "1.0.0" },
        optionalDependencies: { c: "3.0.0" },
      },
      "lib/node_modules/d": {
        version: "1.0.0",
        integrity,
        resolved: "https://registry.npmjs.org/d/-/d-1.0.0.tgz",
      },
      "node_modules/@x/b": {
        version: "2.0.0",
        integrity,
        resolved: "https://registry.npmjs.org/@x/b/-/b-2.0.0.tgz",
      },
      "node_modules/c": {
        name: "@y/c",
        version: "3.0.0",
        integrity,
        optional: true,
        resolved: "https://registry.npmjs.org/@y/c/-/c-3.0.0.tgz",
      },
      "node_modules/tautline": { resolved: "lib", link: true },
    });
  });

  it.each([
    ["a file", { version: "1.0.0", integrity, resolved: "file:../mine.tgz" }],
    ["a repository", { version: "1.0.0", resolved: "git+ssh://git@example.org/mine.git#1" }],
    ["a folder", { resolved: "../mine", link: true }],
  ])("refuses a package from %s by its name", (_, mine) => {
    const packages = { ...own.packages, "node_modules/mine": mine };
    const needed = { ...manifest, dependencies: { mine: "1.0.0" } };
    const locked = lockedFor(needed, asWorkspace({ ...own, packages }, "node_modules/tautline"));
    expect(() => publicPackages(locked)).toThrow(/npm took these from elsewhere: mine\. /);
  });
});
