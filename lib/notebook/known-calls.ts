import type { Unrepeatable } from "./cell-facts.js";

/** Methods of lists, texts, maps, sets and promises that leave what they are called on as it is. */
const keeping = new Set(
  `at concat entries every filter find findIndex findLast findLastIndex flat flatMap forEach get
  getTime has includes indexOf isArray join keys lastIndexOf map match matchAll padEnd padStart
  reduce reduceRight repeat replace replaceAll search slice some split startsWith endsWith
  substring toFixed toISOString toLocaleString toLowerCase toPrecision toReversed toSorted
  toSpliced toString toUpperCase trim trimEnd trimStart valueOf values with then catch finally
  charAt charCodeAt codePointAt normalize localeCompare test exec`.split(/\s+/),
);

/** Whether a method of this name leaves the value alone that it is called on. */
export function keepsContent(method: string): boolean {
  return keeping.has(method);
}

const changing =
  /^(?:push|pop|shift|unshift|splice|sort|reverse|fill|copyWithin|set|add|delete|clear|next|append)$/;

/** Whether a method of this name changes what it is called on. */
export function changesContent(method: string): boolean {
  return changing.test(method);
}

const harmless =
  /^(?:console\.\w+|Math\.\w+|JSON\.\w+|Number(?:\.\w+)?|String(?:\.\w+)?|Boolean|BigInt|parseInt|parseFloat|isNaN|isFinite|structuredClone|Array\.isArray|Object\.(?:keys|is|hasOwn)|Date(?:\.\w+)?|RegExp|Error|TypeError|RangeError|Float64Array(?:\.\w+)?|Int32Array(?:\.\w+)?)$/;

/** Whether a function of the language, as it is written, neither keeps nor changes what it is given. */
export function needsNoContent(called: string): boolean {
  return harmless.test(called);
}

/** Names through which code can reach any other name. */
export function standsForAnything(name: string): boolean {
  return /^(?:eval|Function|globalThis|global|exports|require|__tslab__|Reflect)$/.test(name);
}

const timers = /^(?:setTimeout|setInterval|setImmediate)$/;
const network = /^(?:fetch|WebSocket|EventSource|XMLHttpRequest)$/;

/**
 * What a name or a property, as it is written, brings in that another run need not repeat.
 * @param from the package that the name at its root was imported from
 * @param around the code that it stands in
 */
export function unrepeatableAt(
  code: string,
  from: string | undefined,
  around = "",
): Pick<Unrepeatable, "what" | "code"> | undefined {
  if (from !== undefined) return imported(code, from);
  if (code === "Math.random" || /^crypto\.(?:randomUUID|getRandomValues)$/.test(code)) {
    return { what: "random", code };
  }
  if (code === "Date.now" || code === "performance.now") return { what: "clock", code };
  if (code === "Date" && /^(?:new\s+Date(?:\s*\(\s*\))?|Date\s*\(\s*\))$/.test(around)) {
    return { what: "clock", code: "Date" };
  }
  if (timers.test(code)) return { what: "timer", code };
  if (network.test(code)) return { what: "network", code };
  if (code === "process.env") return { what: "environment", code };
  return undefined;
}

function imported(code: string, from: string): Pick<Unrepeatable, "what" | "code"> | undefined {
  const name = from.replace(/^node:/, "");
  if (name === "child_process" || name === "worker_threads" || name === "cluster") {
    return { what: "program", code };
  }
  if (/^(?:https?|http2|net|tls|dgram|dns)(?:\/|$)/.test(name)) return { what: "network", code };
  if (/^(?:timers)(?:\/|$)/.test(name)) return { what: "timer", code };
  if (name === "os") return { what: "environment", code };
  if (name === "crypto" && /random/i.test(code)) return { what: "random", code };
  if (name === "perf_hooks") return { what: "clock", code };
  return undefined;
}
