import { createHash } from "node:crypto";
import { createRequire } from "node:module";

// the module as CommonJS gives it: a kernel watches its functions, and what is kept here is plain
const fs = createRequire(import.meta.url)("node:fs") as typeof import("node:fs");
const { readFileSync, statSync } = fs;

interface Known {
  readonly size: number;
  readonly modified: number;
  readonly hash: string;
}

/** The SHA-256 of what files hold, computed again only for a file of another size or time. */
export class FileHashes {
  private readonly known = new Map<string, Known>();

  /** The hash of a file; null where there is no file to read. */
  of(path: string): string | null {
    try {
      const { size, mtimeMs: modified } = statSync(path);
      const before = this.known.get(path);
      if (before?.size === size && before.modified === modified) return before.hash;
      const hash = createHash("sha256").update(readFileSync(path)).digest("hex");
      this.known.set(path, { size, modified, hash });
      return hash;
    } catch {
      return null;
    }
  }
}
