/**
 * Puts the licence and the notice of the repository into the library's folder while it is packed:
 * `node build/licence.js`, and `node build/licence.js --remove` afterwards.
 */
import { copyFileSync, rmSync } from "node:fs";

for (const name of ["LICENSE", "NOTICE"]) {
  const inLibrary = new URL(`../${name}`, import.meta.url);
  if (process.argv.includes("--remove")) rmSync(inLibrary, { force: true });
  else copyFileSync(new URL(`../../${name}`, import.meta.url), inLibrary);
}
