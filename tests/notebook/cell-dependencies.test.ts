import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import { dependenciesOf } from "../../lib/notebook/cell-dependencies.js";
import { readCell } from "../../lib/notebook/cell-reading.js";

const require = createRequire(import.meta.url);
const ts = createRequire(require.resolve("tslab/dist/converter.js"))("@tslab/typescript-for-tslab");

/** The dependencies of each cell, as numbers from 1. */
function dependencies(cells: readonly string[]): number[][] {
  const read = cells.map((source, i) => ({ id: String(i + 1), facts: readCell(source, ts) }));
  return [...dependenciesOf(read).values()].map((ids) => ids.map(Number));
}

type Case = readonly [name: string, cells: readonly string[], expected: readonly number[][]];

const names: readonly Case[] = [
  ["a name", ["const kgf = 41;", "kgf + 1"], [[], [1]]],
  ["no name in common", ["const lead = 41;", "const trail = 39;"], [[], []]],
  ["a chain", ["const a = 1;", "const b = a;", "b"], [[], [1], [2]]],
  ["two cells above", ["const a = 1;", "const b = 2;", "a + b"], [[], [], [1, 2]]],
  ["text that looks like a name", ["const a = 1;", '"a" // a'], [[], []]],
  ["a property of that name", ["const a = 1;", "({ a: 2 }).a"], [[], []]],
  ["a shorthand property", ["const a = 1;", "({ a })"], [[], [1]]],
  ["a template text", ["const a = 1;", `\`\${a} kgf\``], [[], [1]]],
  ["a label", ["const a = 1;", "a: for (;;) break a;"], [[], []]],
  ["an import", ['import { mean } from "tautline/stats";', "mean([1, 2])"], [[], [1]]],
  ["an import that is not used", ['import { mean } from "tautline/stats";', "1 + 1"], [[], []]],
  ["a class", ["class Grip { kgf = 1 }", "new Grip().kgf"], [[], [1]]],
  ["an enum", ["enum Hand { lead }", "Hand.lead"], [[], [1]]],
  ["a variable in a loop with var", ["for (var i = 0; i < 3; i++) {}", "i"], [[], [1]]],
];

const shadowing: readonly Case[] = [
  ["a parameter", ["const a = 1;", "[2].map((a) => a + 1)"], [[], []]],
  ["a block", ["const a = 1;", "{ const a = 2; a }"], [[], []]],
  ["a block and the name outside", ["const a = 1;", "{ const a = 2; } a"], [[], [1]]],
  ["a caught error", ["const e = 1;", 'try { JSON.parse("") } catch (e) { String(e) }'], [[], []]],
  ["the variable of a loop", ["const r = 1;", "for (const r of [1]) { r }"], [[], []]],
  [
    "a function inside a function",
    ["const a = 1;", "(() => { function a() {} a(); })()"],
    [[], []],
  ],
  ["a default that uses the name outside", ["const a = 1;", "((b = a) => b)()"], [[], [1]]],
  ["a name of the language", ["const Math = { max: () => 1 };", "Math.max()"], [[], [1]]],
];

const patterns: readonly Case[] = [
  ["an object", ["const { a, b: c } = { a: 1, b: 2 };", "a", "c"], [[], [1], [1]]],
  [
    "the name of the property is none",
    ["const { b: c } = { b: 2 }; const d = 1;", "const b = 3;"],
    [[], []],
  ],
  ["a list with a rest", ["const [first, ...others] = [1, 2, 3];", "others"], [[], [1]]],
  ["a default in a pattern", ["const a = 1;", "const { b = a } = { b: 2 };"], [[], [1]]],
  ["an assignment to a pattern", ["let a = 1;", "[a] = [2];", "a"], [[], [1], [1, 2]]],
];

const reassignment: readonly Case[] = [
  ["another value", ["let a = 1;", "a = 2;", "a"], [[], [1], [1, 2]]],
  ["a sum", ["let a = 1;", "a += 2;", "a"], [[], [1], [1, 2]]],
  ["a count", ["let a = 1;", "a++;", "a"], [[], [1], [1, 2]]],
  ["above the change", ["let a = 1;", "a", "a = 2;"], [[], [1], [1]]],
  ["in a branch", ["let a = 1;", "if (1 < 2) a = 2;", "a"], [[], [1], [1, 2]]],
  ["declared again", ["const a = 1;", "const a = 2;", "a"], [[], [], [2]]],
  [
    "declared again from itself",
    ["const a = 1;", "const b = a;", "const a = 3;", "b"],
    [[], [1], [], [2]],
  ],
];

const mutation: readonly Case[] = [
  ["an item is added", ["const a = [1];", "a.push(2);", "a"], [[], [1], [1, 2]]],
  ["an item is set", ["const a = [1];", "a[0] = 2;", "a"], [[], [1], [1, 2]]],
  ["a property is set", ["const a = { kgf: 1 };", "a.kgf = 2;", "a"], [[], [1], [1, 2]]],
  [
    "a property is removed",
    ["const a: any = { kgf: 1 };", "delete a.kgf;", "a"],
    [[], [1], [1, 2]],
  ],
  [
    "through another name",
    ["const a = [1];", "const b = a;", "b.push(2);", "a"],
    [[], [1], [2], [1, 3]],
  ],
  [
    "through two names",
    ["const a = [1];", "const b = a;", "const c = b;", "c.push(2);", "a"],
    [[], [1], [2], [3], [1, 4]],
  ],
  [
    "through an item",
    ["const a = [{ kgf: 1 }];", "const b = a[0];", "b.kgf = 2;", "a"],
    [[], [1], [2], [1, 3]],
  ],
  [
    "inside another object",
    ["const a = [1];", "const all = { a };", "all.a.push(2);", "a"],
    [[], [1], [2], [1, 3]],
  ],
  [
    "in a loop over items",
    ["const a = [{ kgf: 1 }];", "for (const one of a) one.kgf = 2;", "a"],
    [[], [1], [1, 2]],
  ],
  [
    "in a function for each item",
    ["const a = [{ kgf: 1 }];", "a.forEach((one) => { one.kgf = 2; });", "a"],
    [[], [1], [1, 2]],
  ],
  ["a list is only read", ["const a = [1];", "a.map((x) => x + 1)", "a"], [[], [1], [1]]],
  [
    "a copy is changed",
    ["const a = [1];", "const b = structuredClone(a);", "b.push(2);", "a"],
    [[], [1], [2], [1]],
  ],
  [
    "a number was taken from it",
    ["const a = [1];", "let n = a.length;", "n++;", "a"],
    [[], [1], [2], [1]],
  ],
  [
    "handed to a function that is not known",
    ["const a = [1];", 'import { mend } from "elsewhere";', "mend(a);", "a"],
    [[], [], [1, 2], [1, 3]],
  ],
  [
    "handed to this library",
    ["const a = [1];", 'import { mean } from "tautline/stats";', "mean(a);", "a"],
    [[], [], [1, 2], [1]],
  ],
  [
    "a random stream",
    [
      'import { randomStream } from "tautline/stats";',
      "const draw = randomStream(1);",
      "draw.uniform();",
      "draw.uniform()",
    ],
    [[], [1], [2], [2, 3]],
  ],
];

/** Cells, and the cell above that the last one must name; more than those is no mistake. */
const hidden: readonly (readonly [name: string, cells: readonly string[], above: number])[] = [
  [
    "generator function",
    ["function* g() { yield 1; }", "const it = g();", "it.next();", "it.next()"],
    3,
  ],
  [
    "generator in for of",
    [
      "function* g() { yield 1; yield 2; }",
      "const it = g();",
      "for (const x of it) { break; }",
      "it.next()",
    ],
    3,
  ],
  [
    "generator spread",
    ["function* g() { yield 1; yield 2; }", "const it = g();", "const all = [...it];", "it.next()"],
    3,
  ],
  [
    "generator pattern",
    ["function* g() { yield 1; yield 2; }", "const it = g();", "const [first] = it;", "it.next()"],
    3,
  ],
  ["static field", ["const a = 1;", "class C { static kgf = a; }", "C.kgf"], 2],
  ["static changed", ["class C { static n = 0; }", "C.n++;", "C.n"], 2],
  ["static block", ["let t = 0;", "class C { static { t = 1; } }", "t"], 2],
  ["getter", ["let a = 1;", "const o = { get x() { return a; } };", "a = 2;", "o.x"], 3],
  ["getter with state", ["const o = { n: 0, get x() { return ++this.n; } };", "o.x;", "o.x"], 2],
  [
    "class method on notebook name",
    ["let t = 0;", "class C { add() { t++; } }", "const c = new C();", "c.add();", "t"],
    4,
  ],
  [
    "class method reads name",
    ["let t = 0;", "class C { get() { return t; } }", "const c = new C();", "t = 2;", "c.get()"],
    4,
  ],
  ["enum", ["enum Hand { lead, trail }", "Hand.trail"], 1],
  ["const enum from name", ["const a = 3;", "enum E { x = a }", "E.x"], 2],
  ["namespace", ["namespace N { export const x = 1; }", "N.x"], 1],
  [
    "namespace reads",
    ["const a = 1;", "namespace N { export const x = a; const a2 = 2; }", "N.x"],
    2,
  ],
  ["labelled", ["const a = [1];", "outer: for (const x of a) { for (;;) { continue outer; } }"], 1],
  ["default param", ["let a = 1;", "const f = (b = a) => b;", "a = 2;", "f()"], 3],
  ["default pattern param", ["let a = 1;", "const f = ({ b = a } = {}) => b;", "a = 2;", "f()"], 3],
  ["destructuring default from call", ["let a = () => 1;", "const { b = a() } = {} as any;"], 1],
  ["export const", ["export const a = 1;", "a"], 1],
  ["this", ["const a = 1;", "this.a"], 1],
  ["eval", ["const a = 1;", "eval('a')"], 1],
  ["indirect eval", ["const a = 1;", "(0, eval)('a')"], 1],
  ["new Function", ["const a = 1;", "new Function('return a')()"], 1],
  [
    "await in loop",
    ["const a = [1]; let t = 0;", "for (const x of a) { t += await Promise.resolve(x); }", "t"],
    2,
  ],
  ["for await", ["const a = [1];", "for await (const x of a) { console.log(x); }"], 1],
  ["method alias", ["const a = [1];", "const push = a.push.bind(a);", "push(2);", "a"], 3],
  [
    "function mutates array",
    ["const mend = (rows) => { rows[0] = 1; };", "const a = [2];", "mend(a);", "a"],
    3,
  ],
  [
    "function mutates nested",
    ["function f(o) { o.rows.push(1); }", "const a = { rows: [] };", "f(a);", "a.rows"],
    3,
  ],
  [
    "function mutates via second function",
    ["const g = (r) => { r.push(1); }; const f = (r) => g(r);", "const a = [];", "f(a);", "a"],
    3,
  ],
  [
    "closure over loop",
    ["const fs = []; for (let i = 0; i < 3; i++) fs.push(() => i);", "fs[0]()"],
    1,
  ],
  [
    "closure over var loop",
    ["var fs = []; for (var i = 0; i < 3; i++) fs.push(() => i);", "i = 9;", "fs[0]()"],
    2,
  ],
  [
    "counter closure",
    [
      "function counter() { let n = 0; return () => ++n; }",
      "const next = counter();",
      "next();",
      "next()",
    ],
    3,
  ],
  [
    "counter IIFE",
    ["const next = (() => { let n = 0; return () => ++n; })();", "next();", "next()"],
    2,
  ],
  [
    "counter pair",
    [
      "function counter() { let n = 0; return { inc: () => ++n, get: () => n }; }",
      "const { inc, get } = counter();",
      "inc();",
      "get()",
    ],
    3,
  ],
  ["Object.assign", ["const a = {};", "Object.assign(a, { x: 1 });", "a"], 2],
  ["Array.prototype", ["const a = [2, 1];", "Array.prototype.sort.call(a);", "a"], 2],
  ["map set", ["const m = new Map();", "m.set(1, 2);", "m.get(1)"], 2],
  ["map value", ["const m = new Map([[1, { x: 1 }]]);", "m.get(1).x = 2;", "m"], 2],
  ["spread alias of inner", ["const a = [{ x: 1 }];", "const b = [...a];", "b[0].x = 2;", "a"], 3],
  [
    "filter alias",
    ["const a = [{ x: 1 }];", "const b = a.filter(Boolean);", "b[0].x = 2;", "a"],
    3,
  ],
  ["logical assign", ["let a: any;", "a ??= 2;", "a"], 2],
  ["swap", ["let a = 1, b = 2;", "[a, b] = [b, a];", "a"], 2],
  ["optional chain", ["const a = { b: [1] };", "a?.b?.push(2);", "a"], 2],
  ["function declared later in cell", ["let a = 1;", "f(); function f() { a = 2; }", "a"], 2],
  [
    "async function",
    ["let a = 1;", "async function f() { await 1; a = 2; }", "await f();", "a"],
    3,
  ],
  [
    "arrow alias call",
    ["let a = 1;", "const f = () => { a = 2; };", "const g = f;", "g();", "a"],
    4,
  ],
  ["computed method name", ["const a = 'x';", "class C { [a]() {} }"], 1],
  ["computed object method", ["const a = 'x';", "const o = { [a]() {} };"], 1],
  ["tagged template", ["let n = 0;", "const tag = (s) => { n++; return s; };", "tag`x`;", "n"], 3],
  ["decor sort in chain", ["const a = [3, 1];", "const b = a.sort();", "a"], 2],
  ["callback named", ["let n = 0; const bump = () => { n++; };", "[1].forEach(bump);", "n"], 2],
  [
    "object method on notebook name",
    ["let n = 0;", "const o = { m() { n++; } };", "o.m();", "n"],
    3,
  ],
  ["setter", ["let n = 0;", "const o = { set x(v) { n = v; } };", "o.x = 4;", "n"], 3],
  ["satisfies alias", ["const a = [1];", "const b = a satisfies number[];", "b.push(2);", "a"], 3],
  ["as alias", ["const a = [1];", "const b = (a as any)!;", "b.push(2);", "a"], 3],
];

const functions: readonly Case[] = [
  [
    "a function reads a name",
    ["let a = 1;", "const f = () => a;", "a = 2;", "f()"],
    [[], [], [1], [1, 2, 3]],
  ],
  [
    "a function changes a name",
    ["let n = 1;", "function count() { n++; }", "count();", "n"],
    [[], [], [1, 2], [1, 3]],
  ],
  [
    "a function that is not called changes nothing",
    ["let n = 1;", "function count() { n++; }", "n"],
    [[], [], [1]],
  ],
  [
    "a function changes what it is given",
    ["const a = [1];", "function add(list: number[]) { list.push(2); }", "add(a);", "a"],
    [[], [], [1, 2], [1, 3]],
  ],
  [
    "a function only reads what it is given",
    [
      "const a = [1];",
      "const sum = (list: number[]) => list.reduce((s, x) => s + x, 0);",
      "sum(a);",
      "a",
    ],
    [[], [], [1, 2], [1]],
  ],
  [
    "a function uses a function",
    ["let a = 1;", "const f = () => a;", "const g = () => f();", "a = 2;", "g()"],
    [[], [], [], [1], [1, 2, 3, 4]],
  ],
];

const types: readonly Case[] = [
  ["an interface", ["interface Grip { kgf: number }", "const g: Grip = { kgf: 1 };"], [[], []]],
  ["the type of a value", ["const a = 1;", "let b: typeof a;"], [[], []]],
  [
    "an import of a type",
    ['import type { Estimate } from "tautline/stats";', "let e: Estimate;"],
    [[], []],
  ],
];

const others: readonly Case[] = [
  ["await", ["const a = await Promise.resolve(1);", "a"], [[], [1]]],
  ["an error half way keeps the names", ['const a = 1; throw new Error("x");', "a"], [[], [1]]],
  ["a cell that was deleted", ["a", "const b = 1;", "b"], [[], [], [2]]],
  ["code in a text", ["let a = 1;", 'eval("a = 2")', "a"], [[], [1], [1, 2]]],
  ["a cell that is not complete", ["let a = 1;", "a = (", "a"], [[], [1], [1, 2]]],
  ["the object that holds all names", ["let a = 1;", "globalThis.a = 2;", "a"], [[], [1], [1, 2]]],
];

describe.each([
  ["names", names],
  ["shadowing", shadowing],
  ["destructuring", patterns],
  ["reassignment and redeclaration", reassignment],
  ["mutation", mutation],
  ["functions", functions],
  ["types", types],
  ["other", others],
] as const)("dependencies between cells: %s", (_, cases) => {
  it.each(cases)("%s", (_, cells, expected) => {
    expect(dependencies(cells)).toEqual(expected);
  });
});

it("there are at least 60 notebooks", () => {
  const all = [names, shadowing, patterns, reassignment, mutation, functions, types, others];
  expect(all.flat().length).toBeGreaterThanOrEqual(60);
});

describe("what another run need not repeat", () => {
  it.each([
    ["const x = Math.random();", "random", "Math.random", 1],
    ["1;\nconst t = Date.now();", "clock", "Date.now", 2],
    ["const t = new Date();", "clock", "Date", 1],
    ["setTimeout(() => {}, 5);", "timer", "setTimeout", 1],
    ['await fetch("x");', "network", "fetch", 1],
    ["process.env.HOME", "environment", "process.env", 1],
    [
      'import { spawnSync } from "node:child_process";\nspawnSync("ls");',
      "program",
      "spawnSync",
      2,
    ],
  ])("%j is told with its line", (source, what, code, line) => {
    expect(readCell(source, ts).unrepeatable).toEqual([{ what, code, line }]);
  });

  it.each([
    'new Date("2026-01-05")',
    "const Math = { random: () => 1 }; Math.random()",
    '"Date.now"',
  ])("%s is repeatable", (source) => {
    expect(readCell(source, ts).unrepeatable).toEqual([]);
  });
});

describe("what the last cell depends on where code hides it", () => {
  it.each(hidden)("%s", (_, cells, above) => {
    expect(dependencies(cells).at(-1)).toContain(above);
  });
});
