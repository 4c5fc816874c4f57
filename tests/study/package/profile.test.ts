import { readdirSync, readFileSync } from "node:fs";
import { Ajv } from "ajv";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readPackage } from "../../../lib/study/package/package.js";
import { checkPackage } from "../../../lib/study/package/profile.js";
import { packageShape } from "../../../lib/study/package/profile-shape.js";
import { resourceShape, studyShape } from "../../../lib/study/package/study-shape.js";
import { validatorOf } from "../../../lib/study/package/validator.js";

/** A descriptor that uses most of what the standard offers. */
function sound() {
  return {
    $schema: "https://datapackage.org/profiles/2.0/datapackage.json",
    name: "grip-pilot",
    title: "A pilot",
    created: "2025-04-12T09:30:00Z",
    homepage: "https://example.org/grip",
    keywords: ["grip"],
    licenses: [{ name: "CC-BY-4.0" }],
    contributors: [{ title: "Lab", roles: ["creator"] }],
    sources: [{ title: "Own tests" }],
    study: { anything: ["at", "all"] },
    resources: [
      {
        name: "people",
        type: "table",
        path: "people.csv",
        mediatype: "text/csv",
        encoding: "utf-8",
        schema: {
          fields: [
            { name: "id", type: "string", constraints: { required: true, unique: true } },
            { name: "side", type: "string", categories: ["left", "right"] },
          ],
          primaryKey: ["id"],
          missingValues: ["", "NA"],
        },
      },
      {
        name: "trials",
        type: "table",
        path: ["a/trials-1.csv", "a/trials-2.csv"],
        dialect: { delimiter: ";", headerRows: [2], commentChar: "#" },
        schema: {
          fields: [
            { name: "id", type: "string" },
            { name: "force", type: "number", constraints: { minimum: 0, maximum: 110.5 } },
          ],
          fieldsMatch: "subset",
          foreignKeys: [{ fields: ["id"], reference: { resource: "people", fields: ["id"] } }],
        },
      },
    ],
  };
}

/** Takes a copy of the sound descriptor, sets one place to a value, and gives its "must" faults. */
function spoiled(path: (string | number)[], value: unknown) {
  const copy = sound() as unknown as Record<string | number, unknown>;
  let at = copy;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
  const last = path.at(-1)!;
  if (value === undefined) delete at[last];
  else at[last] = value;
  return checkPackage(copy).faults.filter(({ rule }) => rule === "must");
}

describe("the Data Package standard, rule by rule", () => {
  it("a descriptor that uses most of it has no fault", () => {
    expect(checkPackage(sound())).toMatchObject({ valid: true, faults: [] });
  });

  const rules: [string, (string | number)[], unknown, string][] = [
    ["resources are required", ["resources"], undefined, "resources"],
    ["at least one resource", ["resources"], [], "resources"],
    ["a resource has a name", ["resources", 0, "name"], undefined, "resources[0].name"],
    ["names differ", ["resources", 1, "name"], "people", "resources[1].name"],
    ["either path or data", ["resources", 0, "data"], [], "resources[0]"],
    ["one of them at least", ["resources", 0, "path"], undefined, "resources[0]"],
    ["no absolute path", ["resources", 0, "path"], "/etc/people.csv", "resources[0].path"],
    ["no path out of the folder", ["resources", 0, "path"], "a/../../x.csv", "resources[0].path"],
    ["no hidden folder", ["resources", 0, "path"], ".git/x.csv", "resources[0].path"],
    ["no other scheme", ["resources", 0, "path"], "file:///x.csv", "resources[0].path"],
    ["no Windows path", ["resources", 0, "path"], "a\\x.csv", "resources[0].path"],
    ["one bad part of a path", ["resources", 1, "path", 1], "../x.csv", "resources[1].path[1]"],
    ["paths or addresses", ["resources", 1, "path", 1], "https://a.b/c.csv", "resources[1].path"],
    ["type is table", ["resources", 0, "type"], "tabular", "resources[0].type"],
    ["a media type", ["resources", 0, "mediatype"], "csv", "resources[0].mediatype"],
    ["fields required", ["resources", 0, "schema"], {}, "resources[0].schema.fields"],
    [
      "a field has a name",
      ["resources", 0, "schema", "fields", 0, "name"],
      undefined,
      "resources[0].schema.fields[0].name",
    ],
    [
      "a known type",
      ["resources", 1, "schema", "fields", 1, "type"],
      "float",
      "resources[1].schema.fields[1].type",
    ],
    [
      "required is a flag",
      ["resources", 0, "schema", "fields", 0, "constraints", "required"],
      "yes",
      "resources[0].schema.fields[0].constraints.required",
    ],
    [
      "lengths are whole",
      ["resources", 0, "schema", "fields", 0, "constraints", "minLength"],
      1.5,
      "resources[0].schema.fields[0].constraints.minLength",
    ],
    [
      "enum is not empty",
      ["resources", 0, "schema", "fields", 1, "constraints"],
      { enum: [] },
      "resources[0].schema.fields[1].constraints.enum",
    ],
    [
      "enum within categories",
      ["resources", 0, "schema", "fields", 1, "constraints"],
      { enum: ["up"] },
      "resources[0].schema.fields[1].constraints.enum",
    ],
    [
      "fieldsMatch is a word",
      ["resources", 1, "schema", "fieldsMatch"],
      ["subset"],
      "resources[1].schema.fieldsMatch",
    ],
    [
      "missing values are texts",
      ["resources", 0, "schema", "missingValues", 1],
      -99,
      "resources[0].schema.missingValues[1]",
    ],
    [
      "keys name fields",
      ["resources", 0, "schema", "primaryKey"],
      ["code"],
      "resources[0].schema.primaryKey",
    ],
    [
      "references name resources",
      ["resources", 1, "schema", "foreignKeys", 0, "reference", "resource"],
      "folk",
      "resources[1].schema.foreignKeys[0].reference.resource",
    ],
    [
      "references name fields",
      ["resources", 1, "schema", "foreignKeys", 0, "reference", "fields"],
      ["code"],
      "resources[1].schema.foreignKeys[0].reference.fields",
    ],
    [
      "as many fields both ways",
      ["resources", 1, "schema", "foreignKeys", 0, "reference", "fields"],
      ["id", "side"],
      "resources[1].schema.foreignKeys[0].reference.fields",
    ],
    [
      "header rows from 1",
      ["resources", 1, "dialect", "headerRows"],
      [0],
      "resources[1].dialect.headerRows[0]",
    ],
    ["a licence has a name or path", ["licenses", 0], { title: "Free" }, "licenses[0]"],
    ["a contributor is not empty", ["contributors", 0], {}, "contributors[0]"],
    ["created is a day and time", ["created"], "12/4/2025", "created"],
    ["keywords are texts", ["keywords"], "grip", "keywords"],
  ];
  it.each(rules)("%s", (_rule, path, value, where) => {
    const faults = spoiled(path, value);
    expect(faults.map((fault) => fault.where)).toEqual([where]);
    expect(faults[0]!.message).toBe(
      `${where}: expected ${faults[0]!.expected}, got ${faults[0]!.value}`,
    );
  });

  it("keeps what version 1 wrote: one field name as a key, an empty resource for this table", () => {
    expect(spoiled(["resources", 0, "schema", "primaryKey"], "id")).toEqual([]);
    const self = [{ fields: "id", reference: { resource: "", fields: "side" } }];
    expect(spoiled(["resources", 0, "schema", "foreignKeys"], self)).toEqual([]);
  });

  it("advises, and does not refuse, a name in capitals", () => {
    const check = checkPackage({ ...sound(), name: "Grip Pilot" });
    expect([check.valid, check.faults.map(({ rule }) => rule)]).toEqual([true, ["should"]]);
  });

  it.each([null, 7, "text", [], [null], { resources: [null, 3] }, { resources: {} }])(
    "%j is refused without an exception",
    (value) => {
      expect(checkPackage(value).valid).toBe(false);
    },
  );
});

describe("hostile descriptors", () => {
  it("anything that JSON can say gets an answer, never an exception", () => {
    const inner = fc.jsonValue({ maxDepth: 4 });
    const key = fc.record({ fields: inner, reference: inner });
    const schema = fc.record({
      fields: fc.array(inner),
      foreignKeys: fc.array(key),
      primaryKey: inner,
    });
    const resource = fc.record({ name: inner, path: inner, schema: fc.oneof(schema, inner) });
    const descriptor = fc.oneof(
      inner,
      fc.record({ resources: fc.array(fc.oneof(resource, inner)) }),
    );
    fc.assert(
      fc.property(descriptor, (value) => {
        const { valid, faults } = checkPackage(value);
        return valid === faults.every(({ rule }) => rule === "should");
      }),
      { seed: 4, numRuns: 1000 },
    );
  });

  it("a property named after a prototype's is a stranger, not a shape", () => {
    const text = '{"__proto__":{"resources":[]},"constructor":1,"resources":[]}';
    expect(checkPackage(JSON.parse(text)).faults.map(({ where }) => where)).toEqual(["resources"]);
  });
});

describe("our schemas", () => {
  it.each([
    ["the standard's", packageShape],
    ["the study's", studyShape],
    ["a resource's", resourceShape],
  ])("%s is JSON Schema, draft 7, with words for every place that can fail", (_, shape) => {
    const ajv = new Ajv();
    expect(ajv.validateSchema(shape)).toBe(true);
    const silent: string[] = [];
    const walk = (part: unknown, path: string) => {
      if (part === null || typeof part !== "object") return;
      const { type, description } = part as Record<string, unknown>;
      const isChoice = /\/(anyOf|oneOf)\/\d+$/.test(path);
      if (typeof type === "string" && description === undefined && !isChoice) silent.push(path);
      for (const [key, inner] of Object.entries(part)) walk(inner, `${path}/${key}`);
    };
    walk(shape, "");
    expect(silent).toEqual([]);
  });
});

describe("faults in words", () => {
  const misfits = validatorOf(packageShape);
  const peer = new Ajv({ strict: false }).compile(packageShape);

  it("are found exactly where the library that judges the schema finds any", () => {
    const places: (string | number)[][] = [];
    const walk = (value: unknown, path: (string | number)[]) => {
      if (path.length > 0) places.push(path);
      if (value === null || typeof value !== "object") return;
      for (const key of Object.keys(value)) {
        const step = Array.isArray(value) ? Number(key) : key;
        walk((value as Record<string, unknown>)[key], [...path, step]);
      }
    };
    walk(sound(), []);
    const junk = fc.oneof(
      fc.constantFrom(null, true, 0, 1, -1, 2.5, "", "x", "/x", "../x", [], [1], ["a", "a"], {}),
      fc.jsonValue({ maxDepth: 2 }),
    );
    let refused = 0;
    fc.assert(
      fc.property(fc.constantFrom(...places), junk, (path, value) => {
        const copy = sound() as unknown as Record<string | number, unknown>;
        let at = copy;
        for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
        at[path.at(-1)!] = value;
        const ours = misfits(copy).length === 0;
        if (!ours) refused++;
        return ours === peer(copy);
      }),
      { seed: 2024, numRuns: 3000 },
    );
    expect(refused).toBeGreaterThan(1000); // the property saw both verdicts
    expect(refused).toBeLessThan(2900);
  });
});

describe("the reading of a study", () => {
  it("tells a breach of the standard as a fault of datapackage.json, with its place", () => {
    const path = new URL("../../../data/winter-block/datapackage.json", import.meta.url);
    const descriptor = JSON.parse(readFileSync(path, "utf8"));
    descriptor.resources[0].schema.primaryKey = ["code"];
    descriptor.resources[1].mediatype = "csv";
    const { faults } = readPackage(descriptor);
    expect(faults.map(({ code, where }) => [code, where])).toEqual([
      ["package-incomplete", "resources[1].mediatype"],
    ]);
    descriptor.resources[1].mediatype = "text/csv";
    expect(readPackage(descriptor).faults[0]).toMatchObject({
      where: "resources[0].schema.primaryKey",
      value: '"code"',
    });
  });
});

describe("our own packages", () => {
  const data = new URL("../../../data/", import.meta.url);
  const folders = readdirSync(data, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  it.each(folders.map(({ name }) => name))("data/%s follows the standard", (name) => {
    const text = readFileSync(new URL(`${name}/datapackage.json`, data), "utf8");
    expect(checkPackage(JSON.parse(text)).faults).toEqual([]);
  });
});
