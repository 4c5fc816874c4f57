import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import * as tautline from "./public-names.js";

const lib = resolve(dirname(fileURLToPath(import.meta.url)), "../lib");

/** One `@example code // value` of a docstring. */
interface Example {
  readonly at: string;
  readonly code: string;
  readonly value: string;
}

function sourceFiles(): string[] {
  return readdirSync(lib, { recursive: true, encoding: "utf8" })
    .map((path) => path.split("\\").join("/"))
    .filter((path) => /\.ts$/.test(path) && !/^(dist|node_modules)\//.test(path));
}

/** The text after an `@example`, up to the next tag or the end of the comment, on one line. */
function examplesOf(path: string, text: string): Example[] {
  const found = text.matchAll(/^ *\* *@example +([\s\S]*?)(?=\n *\* *@|\n? *\*\/)/gm);
  return Array.from(found, (match) => {
    const line = text.slice(0, match.index).split("\n").length;
    const body = match[1]!.replace(/\n *\* ?/g, " ").trim();
    const cut = body.lastIndexOf(" // ");
    expect(cut, `${path}:${line}: an example reads "code // value"`).toBeGreaterThan(0);
    return { at: `${path}:${line}`, code: body.slice(0, cut), value: body.slice(cut + 4).trim() };
  });
}

/** Runs code with everything the package exports in scope. */
function run(code: string): unknown {
  return new Function(...Object.keys(tautline), `"use strict"; return (${code});`)(
    ...Object.values(tautline),
  );
}

/** The number a literal stands for; an ellipsis says that digits were cut off. */
const numberOf = (literal: string) => Number(literal.replace(/…$/, ""));

/** A unit in the last digit before an ellipsis, half of one where few are given, else 1e-9. */
function slack(literal: string): number {
  if (literal.endsWith("…")) return 2 * slack(literal.slice(0, -1));
  const close = 1e-9 * Math.abs(Number(literal));
  const decimals = /^-?\d*\.(\d+)$/.exec(literal)?.[1] ?? "";
  const significant = literal.replace(/^-?0*\.?0*|\./g, "").length;
  return decimals && significant < 9 ? 0.5000001 * 10 ** -decimals.length : close;
}

/** Numbers within 1e-9 of each other, everything else equal as JSON. */
function same(actual: unknown, wanted: unknown): boolean {
  if (typeof actual === "number" && typeof wanted === "number") {
    return Math.abs(actual - wanted) <= 1e-9 * Math.abs(wanted);
  }
  if (typeof actual !== "object" || typeof wanted !== "object" || !actual || !wanted) {
    return actual === wanted;
  }
  const [ours, theirs] = [actual, wanted].map((record) => Object.entries(record));
  return (
    Array.isArray(actual) === Array.isArray(wanted) &&
    ours!.length === theirs!.length &&
    theirs!.every(([key, value]) => same((actual as Record<string, unknown>)[key], value))
  );
}

function holds({ code, value }: Pick<Example, "code" | "value">): void {
  if (value.startsWith("InputError")) {
    expect(() => run(code)).toThrow(tautline.InputError);
    return;
  }
  const actual = run(code);
  if (Number.isFinite(numberOf(value))) {
    expect(actual).toBeTypeOf("number");
    expect(Math.abs((actual as number) - numberOf(value))).toBeLessThanOrEqual(slack(value));
    return;
  }
  const plain = JSON.parse(JSON.stringify(actual)) as unknown;
  expect(same(plain, JSON.parse(JSON.stringify(run(value)))), JSON.stringify(actual)).toBe(true);
}

/** Functions that hand on a record of another function, or a shape with a kind of its own. */
const otherKinds: Readonly<Record<string, string>> = {
  lessonQuestion: "question",
  practiceTable: "practice",
  openStudy: "study",
  withoutOutlyingTrials: "study",
  withSetAsides: "study",
  inspectStudy: "inspection",
  readHandedIn: "handedIn",
  readStudy: "inspection",
  readUnit: "unit",
  baselineOf: "resultTable",
  percentsOf: "resultTable",
};

/** The first call of each public function among the examples: its name, and the call alone. */
function callsOf(codes: readonly string[]): Map<string, string> {
  const calls = new Map<string, string>();
  for (const code of codes) {
    const name = /^([a-z]\w*)\(/.exec(code)?.[1];
    if (name === undefined || calls.has(name) || !(name in tautline)) continue;
    let depth = 0;
    for (let i = name.length; i < code.length; i++) {
      if (code[i] === "(") depth++;
      if (code[i] === ")") depth--;
      if (depth > 0) continue;
      calls.set(name, code.slice(0, i + 1));
      break;
    }
  }
  return calls;
}

/** Places in a result that are not frozen, or hold a number that is none. */
function faultsOf(value: unknown, at: string): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${at}: ${value}`];
  if (value === null || typeof value !== "object" || ArrayBuffer.isView(value)) return [];
  if (!(Array.isArray(value) || Object.getPrototypeOf(value) === Object.prototype)) return [];
  const inside = Object.entries(value).flatMap(([name, part]) => faultsOf(part, `${at}.${name}`));
  return Object.isFrozen(value) ? inside : [`${at} is not frozen`, ...inside];
}

const examples = sourceFiles().flatMap((path) =>
  examplesOf(path, readFileSync(join(lib, path), "utf8")),
);

describe("the examples in the docstrings", () => {
  it.each(examples)("$at $code", (example) => holds(example));

  it("cover every exported function of the numeric folders", () => {
    const called = new Set(
      examples.flatMap(({ code }) => code.match(/\b[a-zA-Z]\w*(?=\()/g) ?? []),
    );
    const functions = Object.entries(tautline)
      .filter(([name, value]) => typeof value === "function" && /^[a-z]/.test(name))
      .map(([name]) => name);
    const text = sourceFiles()
      .filter((path) => /^(num|stats|units|swing|show)\//.test(path))
      .map((path) => readFileSync(join(lib, path), "utf8"))
      .join("\n");
    const declared = functions.filter((name) => text.includes(`export function ${name}`));
    expect(declared.filter((name) => !called.has(name))).toEqual([]);
  });

  const calls = [...callsOf(examples.map(({ code }) => code))];

  it.each(calls)("%s returns a frozen record of finite numbers, its name as kind", (name, code) => {
    const value = run(code);
    if (value === null || typeof value !== "object") return;
    if ("layout" in value) return; // a plot is what figure() is given; its record is frozen there
    const faults = faultsOf(value, name);
    const { kind } = value as { kind?: unknown };
    if (kind !== undefined) expect(kind).toBe(otherKinds[name] ?? name);
    // A study holds tables, which are not plain records.
    if (kind !== "study" && kind !== "inspection") expect(faults).toEqual([]);
  });

  it("a wrong value would be caught", () => {
    expect(() => holds({ code: "1 + 1", value: "3" })).toThrow();
    expect(() => holds({ code: "0.6512", value: "0.66" })).toThrow();
    expect(() => holds({ code: "[1, 2]", value: "[1, 3]" })).toThrow();
    expect(() => holds({ code: "({ a: 1, b: 2 })", value: "({ a: 1 })" })).toThrow();
  });
});
