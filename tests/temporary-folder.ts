import { chmodSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/**
 * All temporary files of a test run lie in one folder, which goes when the run ends. The settings of
 * the tests are read again for each project, and a path that grew with them would not fit a socket.
 */
export function temporaryFolder(): string {
  const made = process.env.TMPDIR;
  if (made?.includes("tautline-tests-")) return made;
  const folder = mkdtempSync(join(tmpdir(), "tautline-tests-"));
  chmodSync(folder, 0o1777); // as temporary folders are: one test runs the program as another user
  return folder;
}

/** Called by vitest when all tests are done. */
export function teardown(): void {
  const folder = process.env.TMPDIR;
  if (folder?.includes("tautline-tests-"))
    rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}
