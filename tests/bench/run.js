/**
 * Benchmarks: `npm run bench`, or `node tests/bench/run.js <topic…>` after a build.
 *
 * Every case does one job with this library and, where it is installed, the same job with a peer,
 * one right after the other, and prints the ratio of the two median times beside its target. Both
 * are timed inside their own process after warm-up, so that starting an interpreter costs nobody
 * anything. A second table shows how the time of the processor grows with the size of a job.
 *
 * Peers are never required; on Debian they come with
 *   apt-get install r-base-core r-cran-boot r-cran-lme4 python3-scipy python3-statsmodels python3-pandas
 *
 * Each file tests/bench/cases/<topic>.js exports a list of cases:
 *   export default [
 *     {
 *       name: "what the job is",
 *       ours: () => value,            // one run of the job; may be async; what it returns is compared
 *       once: false,                  // true: time one run (and no warm-up), for jobs of seconds
 *       prepare, finish,              // optional, may be async, around the whole case, not timed
 *       peers: [
 *         {
 *           name: "scipy",
 *           atMost: 1 / 3,            // target: ours ≤ this share of the peer's time
 *           by: python({ needs: ["scipy"], code: "def run(): return …" }),
 *           share: 1,                 // the peer does this share of the job; its time is scaled up
 *           agree: 0.02,              // optional: both values agree to this relative difference
 *         },
 *       ],
 *     },
 *     { name: "how it grows", sizes: [1000, 10000, 100000], job: (size) => () => value },
 *   ];
 * `python` and `r` are in peers.js: their code defines `run`, in R `run <- function() …`.
 *
 * Exit code 0 when every target is met, 1 when one is missed.
 */
import { readdirSync } from "node:fs";
import { growthOf, median, timed } from "./timing.js";

const folder = new URL("./cases/", import.meta.url);
const topics = process.argv.slice(2);
const files = readdirSync(folder).filter(
  (file) => file.endsWith(".js") && (topics.length === 0 || topics.includes(file.slice(0, -3))),
);
/** Growth allowed, as a multiple of growth in proportion to the size: caches cost too. */
const LINEAR = 1.5;
let missed = 0;

for (const file of files) {
  const { default: cases } = await import(new URL(file, folder));
  const comparisons = cases.filter((one) => one.ours);
  const growths = cases.filter((one) => one.sizes);
  if (comparisons.length) heading(file, "case", "ours", "peer", "its time", "ours/peer", "target");
  for (const one of comparisons) await compare(one);
  if (growths.length) heading(file, "growth", "size", "time", "", "× linear", "target");
  for (const one of growths) await grow(one);
}
process.exitCode = missed ? 1 : 0;

async function compare(one) {
  await one.prepare?.();
  const ours = await timed(one.ours, one);
  for (const peer of one.peers) {
    const theirs = peer.by.time();
    if (theirs.absent) {
      line(
        one.name,
        ms(ours.median),
        peer.name,
        "not run",
        "",
        shareText(peer.atMost),
        theirs.absent,
      );
      continue;
    }
    const peerTime = median(theirs.seconds) / (peer.share ?? 1);
    const ratio = ours.median / peerTime;
    const notes = [
      ratio <= peer.atMost ? "met" : "MISSED",
      peer.share ? `peer timed on ${peer.share} of the job, scaled` : "",
      disagreement(ours.value, theirs.value, peer.agree),
    ].filter(Boolean);
    if (notes.some((note) => /MISSED|DIFFERS/.test(note))) missed++;
    const shown = ratio.toPrecision(2);
    line(
      one.name,
      ms(ours.median),
      peer.name,
      ms(peerTime),
      shown,
      shareText(peer.atMost),
      notes.join("; "),
    );
  }
  await one.finish?.();
}

/** A benchmark of two different jobs says nothing, so the answers are held together too. */
function disagreement(ours, theirs, agree) {
  if (agree === undefined) return "";
  const off = Math.abs(ours - theirs) / Math.abs(theirs);
  return off <= agree ? "" : `DIFFERS: ${ours} and ${theirs}`;
}

async function grow(one) {
  const times = await growthOf(one);
  const [first] = times;
  for (const { size, seconds } of times) {
    const share = seconds / first.seconds / (size / first.size);
    const linear = share <= LINEAR;
    if (!linear) missed++;
    line(
      one.name,
      String(size),
      ms(seconds),
      "",
      share.toFixed(2),
      String(LINEAR),
      linear ? "met" : "MISSED",
    );
  }
}

function heading(file, ...cells) {
  process.stdout.write(`\n${file.slice(0, -3)}\n`);
  line(...cells, "");
}

function line(name, a, b, c, d, e, verdict) {
  const cells = [
    name.padEnd(64),
    a.padStart(10),
    b.padEnd(12),
    c.padStart(10),
    d.padStart(10),
    e.padStart(7),
  ];
  process.stdout.write(`${cells.join("  ")}  ${verdict}\n`);
}

function ms(seconds) {
  return `${(seconds * 1000).toPrecision(3)} ms`;
}

function shareText(share) {
  return share < 1 ? `1/${Math.round(1 / share)}` : String(share);
}
