import { createRequire } from "node:module";

/** What show/display.ts hands over: one content in several forms, keyed by MIME type. */
interface Bundle {
  readonly data: Readonly<Record<string, unknown>>;
  readonly metadata: Readonly<Record<string, unknown>>;
}

type Writer = (content: Bundle & { transient: object }, update: boolean) => void;

const cache = createRequire(import.meta.url).cache;
const kernelModule = /[\\/]tslab[\\/]dist[\\/]jupyter\.js$/;
let found: { lastWriteDisplayData?: Writer | null } | undefined;

/**
 * The kernel's module, if this process is a tslab kernel. It is looked up by its file name among
 * the loaded modules, because the kernel may be installed elsewhere than this library.
 */
function kernel(): { lastWriteDisplayData?: Writer | null } | undefined {
  if (found) return found;
  const path = Object.keys(cache).find((name) => kernelModule.test(name));
  found = path === undefined ? undefined : cache[path]?.exports;
  return found;
}

/**
 * Sends a bundle to the cell that runs now, as one display message with all its forms. tslab's
 * public `display` sends one form a message; its writer takes them together and changes with every
 * cell, so that it is read at each call. In a kernel that has not run a cell yet, the plain text
 * goes to the standard output; outside a kernel nothing is shown.
 */
export function displayInKernel(bundle: Bundle): void {
  const module = kernel();
  if (!module) return;
  const write = module.lastWriteDisplayData;
  if (typeof write === "function") {
    write({ data: bundle.data, metadata: bundle.metadata, transient: {} }, false);
  } else if (typeof bundle.data["text/plain"] === "string") {
    process.stdout.write(`${bundle.data["text/plain"]}\n`);
  }
}
