/** A study with as many grip trials as asked for, written into a folder of its own. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { randomStream } from "tautline/stats";

const positions = ["address", "seated", "top"];
const occasions = [
  ["w0", "2025-01-06"],
  ["w3", "2025-01-27"],
  ["w6", "2025-02-17"],
];
/** Trials of one person: occasions × hands × positions × trials. */
const perPerson = 54;

const descriptor = {
  name: "big-study",
  title: "Many trials (simulated)",
  study: {
    title: "Many trials (simulated)",
    simulated: true,
    arms: [{ id: "grip" }, { id: "swing", control: true }],
    occasions: occasions.map(([id], i) => ({ id, week: 3 * i })),
    positions: positions.map((id) => ({ id })),
    clubs: ["driver"],
  },
};

/**
 * Writes the study, its trials over as many files; returns its folder, the paths of its trials and a
 * way to clear it away. With `unit` unknown every row is an issue.
 */
export function bigStudy(rows, { files = 1, spoilt = false } = {}) {
  const folder = mkdtempSync(join(tmpdir(), "tautline-big-"));
  mkdirSync(folder, { recursive: true });
  const people = Math.ceil(rows / perPerson);
  const stream = randomStream(1, "big study");
  const participants = ["participant,arm,sex,age_years,plays"];
  const trials = [
    "participant,occasion,date,hand,position,handle_mm,device,trial,force,unit,status,note",
  ];
  for (let p = 1; p <= people; p++) {
    const id = `P${String(p).padStart(5, "0")}`;
    const arm = p % 2 ? "grip" : "swing";
    participants.push(`${id},${arm},${p % 2 ? "female" : "male"},${20 + (p % 50)},right`);
    const level = 38 + 6 * stream.normal();
    for (const [occasion, date] of occasions)
      for (const hand of ["left", "right"])
        for (const position of positions)
          for (let trial = 1; trial <= 3 && trials.length <= rows; trial++) {
            const force = Math.max(5, level + 1.8 * stream.normal()).toFixed(1);
            const start = `${id},${occasion},${date},${hand},${position}`;
            trials.push(`${start},50,D1,${trial},${spoilt ? "x" : ""}${force},kgf,valid,`);
          }
  }
  const [header, ...lines] = trials;
  const perFile = Math.ceil(lines.length / files);
  const paths = Array.from({ length: files }, (_, i) =>
    files === 1 ? "grip-trials.csv" : `grip-${i + 1}.csv`,
  );
  for (const [i, path] of paths.entries()) {
    const part = lines.slice(i * perFile, (i + 1) * perFile);
    writeFileSync(join(folder, path), `${[header, ...part].join("\n")}\n`);
  }
  const resources = [
    { name: "participants", path: "participants.csv" },
    ...paths.map((path) => ({ name: path.replace(".csv", ""), kind: "grip-trials", path })),
  ];
  writeFileSync(join(folder, "datapackage.json"), JSON.stringify({ ...descriptor, resources }));
  writeFileSync(join(folder, "participants.csv"), `${participants.join("\n")}\n`);
  const clear = () => rmSync(folder, { recursive: true, force: true });
  return { folder, trials: paths.map((path) => join(folder, path)), clear };
}
