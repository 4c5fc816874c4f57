import { runInNewContext } from "node:vm";

/** Something of the language, as it was before the first cell. */
interface Kept {
  readonly name: string;
  readonly owner: Record<PropertyKey, unknown>;
  readonly key: PropertyKey;
  readonly descriptor: PropertyDescriptor;
  /** The function or object; left out for a property that is computed at each use. */
  readonly value?: unknown;
}

/** What cells changed of what the kernel needs, by name. */
export interface ChangedGlobals {
  /** Put back as they were before the first cell. */
  readonly restored: string[];
  /** Still changed: a cell locked them. */
  readonly locked: string[];
}

// Taken now, because a cell may replace them.
const world = globalThis as unknown as Record<PropertyKey, unknown>;
const { defineProperty, getOwnPropertyDescriptor, getPrototypeOf } = Object;
const { ownKeys } = Reflect;

/** What the kernel needs of Node; `__tslab__` gives a cell the names of the others. */
const namesOfNode = [
  ...["process", "Buffer", "console", "performance", "queueMicrotask", "URL", "__tslab__"],
  ...["setTimeout", "setInterval", "setImmediate", "TextDecoder", "TextEncoder"],
  ...["clearTimeout", "clearInterval", "clearImmediate"],
];

/** Replaced on purpose, to fix the random numbers or the clock; the kernel works without them. */
const ofTheUser = /^(?:Math\.random|Date\.now)$/;

/**
 * Keeps the globals of the language and their methods, which the compiler and the server of the
 * kernel share with the cells: a cell that replaces `Array` would fail every cell after it.
 * Methods of `process` and `console` are not kept; a cell may redirect them.
 * @returns a function that puts back what differs and says what it was
 */
export function keepGlobals(): () => ChangedGlobals {
  // a context without Node has the names of the language and no others
  const language: string[] = runInNewContext("Object.getOwnPropertyNames(globalThis)");
  const names = new Set([...language, ...namesOfNode]);
  const kept: Kept[] = [];
  for (const name of names) {
    const descriptor = getOwnPropertyDescriptor(world, name);
    if (!descriptor?.configurable) continue;
    kept.push({ name, owner: world, key: name, descriptor, value: world[name] });
  }
  for (const [name, owner] of ownersOfMethods(language)) kept.push(...functionsOf(name, owner));
  return () => putBack(kept);
}

/** The objects whose functions the kernel uses. */
function ownersOfMethods(language: readonly string[]): [string, object][] {
  const owners = [...language, "Buffer"]
    .filter((name) => name !== "globalThis" && name !== "console")
    .map((name): [string, unknown] => [name, world[name]]);
  const all = owners.flatMap(([name, value]): [string, unknown][] => [
    [name, value],
    [`${name}.prototype`, typeof value === "function" ? value.prototype : undefined],
  ]);
  const iterators = [[].values(), new Map().values(), new Set().values(), ""[Symbol.iterator]()];
  all.push(
    ["TypedArray", getPrototypeOf(Uint8Array)],
    ["TypedArray.prototype", getPrototypeOf(Uint8Array.prototype)],
    ...iterators.map((one): [string, unknown] => ["an iterator", getPrototypeOf(one)]),
  );
  return all.filter((one): one is [string, object] => isObject(one[1]));
}

function isObject(value: unknown): value is object {
  return typeof value === "function" || (typeof value === "object" && value !== null);
}

function functionsOf(ownerName: string, object: object): Kept[] {
  const owner = object as Record<PropertyKey, unknown>;
  return ownKeys(owner).flatMap((key): Kept[] => {
    const name = typeof key === "symbol" ? `${ownerName}[…]` : `${ownerName}.${key}`;
    const descriptor = getOwnPropertyDescriptor(owner, key);
    if (!descriptor?.configurable || key === "constructor" || ofTheUser.test(name)) return [];
    if (descriptor.get) return [{ name, owner, key, descriptor }];
    const { value } = descriptor;
    return typeof value === "function" ? [{ name, owner, key, descriptor, value }] : [];
  });
}

/** Uses no method and no iterator: they may be the ones that a cell replaced. */
function putBack(kept: (Kept | undefined)[]): ChangedGlobals {
  const restored: string[] = [];
  const locked: string[] = [];
  for (let i = 0; i < kept.length; i++) {
    const one = kept[i];
    if (one === undefined || isAsKept(one)) continue;
    const list = restore(one) ? restored : locked;
    if (list === locked) kept[i] = undefined; // said once
    list[list.length] = one.name;
  }
  return { restored, locked };
}

function isAsKept({ owner, key, descriptor, value }: Kept): boolean {
  try {
    if (value !== undefined) return owner[key] === value;
    return getOwnPropertyDescriptor(owner, key)?.get === descriptor.get;
  } catch {
    return false; // a cell put a getter there that throws
  }
}

function restore(one: Kept): boolean {
  const { owner, key, descriptor, value } = one;
  try {
    defineProperty(owner, key, descriptor);
    // Node's own globals are kept behind a setter
    if (value !== undefined && owner[key] !== value) owner[key] = value;
  } catch {
    return false;
  }
  return isAsKept(one);
}

const mostNamed = 5;

/**
 * The line under a cell that changed what the kernel needs; empty if it changed nothing.
 * @param inCell the cell that ran; false when the change came after its cell had ended
 */
export function changedGlobalsLine({ restored, locked }: ChangedGlobals, inCell: boolean): string {
  const who = inCell ? "This cell" : "A timer or another task of an earlier cell";
  const lines: string[] = [];
  if (restored.length > 0) {
    const they = restored.length === 1 ? "it was" : "they were";
    lines.push(
      `${who} changed ${named(restored)}, which the kernel itself needs; ${they} put back.`,
    );
  }
  if (locked.length > 0) {
    const it = locked.length === 1 ? "it can" : "they can";
    lines.push(
      `${who} changed and locked ${named(locked)}, which the kernel itself needs; ${it}not be put back: restart the kernel.`,
    );
  }
  return lines.join(" ");
}

function named(names: readonly string[]): string {
  const unique = [...new Set(names)];
  const shown = unique.slice(0, mostNamed);
  const others = unique.length - shown.length;
  if (others > 0) return `${shown.join(", ")} and ${others} more`;
  return shown.length < 2 ? shown.join("") : `${shown.slice(0, -1).join(", ")} and ${shown.at(-1)}`;
}
