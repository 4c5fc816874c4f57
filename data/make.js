// Writes the two demo studies. Both are simulated; the committed files are what this writes.
// Run it from anywhere after `npm run build`: node data/make.js
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { demoStudies, inventStudy } from "tautline/simulate";

const data = dirname(fileURLToPath(import.meta.url));
for (const options of demoStudies) {
  const { name, files } = inventStudy(options);
  mkdirSync(join(data, name), { recursive: true });
  for (const [file, text] of Object.entries(files)) writeFileSync(join(data, name, file), text);
}
