import { createHash } from "node:crypto";
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { cordSvg, scaleFor, sharedScales, soloCord, ticksOf } from "../../lib/report/cord.js";
import { isPlainDrawing } from "../../lib/report/drawing-check.js";
import { figureCsv, figureData } from "../../lib/report/figure-data.js";
import { markdownHtml } from "../../lib/report/markdown.js";
import { certItems, consortItems, filled } from "../../lib/report/reporting-items.js";
import { writeReport } from "../../lib/report/site.js";
import { analysisDone } from "../../lib/show/analysis-done.js";
import { finding } from "../../lib/show/finding.js";
import { dataPackages } from "../../lib/study/files.js";
import { changeNotebook, recordedIn, sampleAccount, sampleNotebook, sampleRoot } from "./sample.js";

const out = mkdtempSync(join(tmpdir(), "site-"));
const read = (path: string) => readFileSync(join(out, path), "utf8");
const root = sampleRoot({ "1-change.ipynb": changeNotebook() });

const judgement = { kind: "finding", id: "lead-address-change", verdict: "same" } as const;
const check = { on: "2026-02-01", node: "v20.19.0", library: "0.2.0", edits: [] };
const verdict = {
  notebooks: [{ notebook: "notebooks/1-change.ipynb", ...check, judgements: [judgement] }],
};

beforeAll(async () => {
  mkdirSync(join(out, "figures"));
  writeFileSync(join(out, "figures", "kept.svg"), "<svg/>");
  writeFileSync(join(out, "thesis.html"), "somebody's own page");
  const more = { "1-change.ipynb": changeNotebook(), "gone.ipynb": changeNotebook() };
  await writeReport({ notebooks: recordedIn(sampleRoot(more)), out });
  expect(readdirSync(out)).toContain("gone.html");
  await writeReport({ notebooks: recordedIn(root), out, studies: [sampleAccount], verdict });
});

describe("the report site", () => {
  it("has a page for everything, takes old pages away and leaves other files alone", () => {
    const pages = readdirSync(out).filter((name) => name.endsWith(".html"));
    expect(pages.sort()).toEqual([
      "1-change.html",
      "data-checks.html",
      "glossary.html",
      "index.html",
      "methods.html",
      "study-winter-block.html",
      "thesis.html",
      "versions.html",
    ]);
    expect(readdirSync(join(out, "assets", "figures")).join()).not.toContain("gone");
    expect(readdirSync(join(out, "figures"))).toEqual(["kept.svg"]);
    expect(readdirSync(join(out, "assets")).sort()).toEqual([
      "figures",
      "fonts",
      "plotly.js",
      "site.css",
      "site.js",
    ]);
  });

  it("shows each finding in the ledger with value, interval and cord, and the last check in one line", () => {
    const page = read("study-winter-block.html");
    expect(page).toContain("Lead-hand grip at address: change");
    expect(page).toContain('<b data-shown="value">2.6&nbsp;kgf</b>');
    expect(page).toContain("1.9 to 3.4");
    expect(page).toContain("<b>1 of 1</b> results reproduced on 1 February 2026.");
    expect(page.match(/<svg class="cord" data-from/g)?.length).toBeGreaterThan(6);
  });

  it("traces a number to rows, set-asides, participants, cell and leaveOneOut", () => {
    const page = read("1-change.html");
    expect(page).toContain("<dt>Rows used</dt><dd>72</dd>");
    expect(page).toContain("device fault: 2 rows");
    expect(page).toContain("stopped for pain: 1 row");
    expect(page).toContain("G01, G02");
    expect(page).toContain('href="1-change.html#1-change-cell-2"');
    expect(page).toContain("the conclusion stays whichever golfer is left out");
    expect(page).toContain('<code data-shown="exact">2.641</code>');
  });

  it("carries a description and a data table for every figure", () => {
    const page = read("1-change.html");
    expect(page.match(/<figure class="plot"/g)).toHaveLength(3);
    expect(page.match(/class="canvas" role="img" aria-label="Dots for thirteen/g)).toHaveLength(3);
    expect(page.match(/<caption>Numbers behind the figure: Every golfer/g)).toHaveLength(3);
    expect(page.match(/class="drawing narrow-drawing"/g)).toHaveLength(3);
  });

  it("says why a notebook is not recomputed in its page", () => {
    expect(read("1-change.html")).toContain("cell 4 is not TypeScript that can be translated");
  });

  it("says who came, who left and why", () => {
    const page = read("study-winter-block.html");
    expect(page).toContain("<b>26</b> enrolled");
    expect(page).toContain("wrist injury at work: 1");
    expect(page).toContain("<b>1 golfer withdrew</b> between week 0 and week 3");
    expect(page).toContain("<b>12 golfers</b> measured at week 0 and week 6");
  });

  it("names versions and hashes", () => {
    const page = read("versions.html");
    expect(page).toContain("plotly.js-dist");
    expect(page).toContain(process.version.slice(1));
    const notebook = readFileSync(join(root, "notebooks/1-change.ipynb"));
    expect(page).toContain(createHash("sha256").update(notebook).digest("hex").slice(0, 12));
    expect(page).toContain("a".repeat(12));
  });

  it("loads nothing from a network and runs no inline script", () => {
    for (const name of readdirSync(out).filter(
      (file) => file.endsWith(".html") && file !== "thesis.html",
    )) {
      const page = read(name);
      expect(page).toContain("default-src 'none'; script-src 'self' file:;");
      expect(page).toContain("connect-src 'none'");
      expect(page).not.toMatch(/<script>|(?:src|href)="(?:https?:)?\/\//);
    }
  });

  it("writes the same bytes again", async () => {
    const all = () => read("1-change.html") + read("study-winter-block.html") + read("index.html");
    const before = all();
    await writeReport({ notebooks: recordedIn(root), out, studies: [sampleAccount], verdict });
    expect(all()).toBe(before);
  });

  it("puts everything into one file whose scripts are exactly those it hashes", async () => {
    const one = mkdtempSync(join(tmpdir(), "one-"));
    await writeReport({
      notebooks: recordedIn(root),
      out: one,
      studies: [sampleAccount],
      oneFile: true,
    });
    expect(readdirSync(one)).toEqual(["index.html"]);
    const page = readFileSync(join(one, "index.html"), "utf8");
    const script = /<script>([\s\S]*?)<\/script>/.exec(page)![1]!;
    const hash = createHash("sha256").update(script).digest("base64");
    expect(page).toContain(`script-src 'sha256-${hash}'`);
    const ids = [...page.matchAll(/\sid="([^"]+)"/g)].map(([, id]) => id);
    expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
  });

  it("tells of a re-run that came out otherwise", async () => {
    const off = mkdtempSync(join(tmpdir(), "off-"));
    const judgements = [
      { ...judgement, verdict: "different" as const, difference: "value: 2.6 → 2.9" },
    ];
    await writeReport({
      notebooks: recordedIn(root),
      out: off,
      verdict: { notebooks: [{ ...verdict.notebooks[0]!, judgements }] },
    });
    const index = readFileSync(join(off, "1-change.html"), "utf8");
    expect(index).toContain('<b class="bad">1 not reproduced.</b>');
    expect(index).toContain("value: 2.6 → 2.9");
  });

  it("does not call an author's own edit a failure to reproduce", async () => {
    const off = mkdtempSync(join(tmpdir(), "edited-"));
    const judgements = [
      { ...judgement, verdict: "different" as const, difference: "value: 2.6 → 2.9" },
    ];
    const edited = { ...verdict.notebooks[0]!, judgements, edits: ["cell 3 changed"] };
    await writeReport({
      notebooks: recordedIn(root),
      out: off,
      verdict: { notebooks: [edited] },
    });
    const index = readFileSync(join(off, "1-change.html"), "utf8");
    expect(index).not.toContain("Not reproduced");
    expect(index).toContain("Changed by an edit: 1");
    expect(index).toContain("value: 2.6 → 2.9 (cell 3 changed)");
  });

  it("is empty, not broken, where there are no notebooks", async () => {
    const bare = mkdtempSync(join(tmpdir(), "bare-"));
    const { pages } = await writeReport({ notebooks: recordedIn(bare), out: join(bare, "out") });
    expect(pages.length).toBe(2);
  });
});

describe("names of pages", () => {
  it("never let one notebook's page take the place of another's", async () => {
    const twins = sampleRoot({
      "methods.ipynb": changeNotebook(),
      "nine-golfers.ipynb": changeNotebook(),
      "Nine Golfers.ipynb": changeNotebook(),
    });
    const folder = mkdtempSync(join(tmpdir(), "twins-"));
    await writeReport({ notebooks: recordedIn(twins), out: folder, studies: [sampleAccount] });
    const pages = readdirSync(folder).filter((name) => name.endsWith(".html"));
    expect(pages.sort()).toEqual([
      "Nine-Golfers.html",
      "data-checks.html",
      "glossary.html",
      "index.html",
      "methods-2.html",
      "methods.html",
      "nine-golfers-2.html",
      "study-winter-block.html",
      "versions.html",
    ]);
  });
});

describe("what no page may carry", () => {
  it("carries the files that a descriptor names, and none that lie beside them", async () => {
    const home = sampleRoot({ "1-change.ipynb": changeNotebook() });
    const folder = join(home, "data", "coach-nine");
    cpSync("data/coach-nine", folder, { recursive: true });
    mkdirSync(join(folder, "private"));
    for (const name of ["who-is-who.csv", ".notes", "private/list.csv"])
      writeFileSync(join(folder, name), "golfer,name\nN01,Rowan Halloway\n");
    const one = mkdtempSync(join(tmpdir(), "private-"));
    await writeReport({
      notebooks: recordedIn(home),
      out: one,
      data: dataPackages(home),
      oneFile: true,
    });
    const page = readFileSync(join(one, "index.html"), "utf8");
    expect(page).toContain("grip-trials.csv");
    expect(page).not.toMatch(/Halloway|who-is-who/);
  });

  it("takes no finding for one whose rows or participants are markup", async () => {
    const notebook = JSON.stringify(changeNotebook()).replaceAll(
      /"rowsUsed":\d+/g,
      `"rowsUsed":${JSON.stringify("<meta http-equiv=refresh>")}`,
    );
    const home = sampleRoot({ "a.ipynb": JSON.parse(notebook) });
    const folder = mkdtempSync(join(tmpdir(), "rows-"));
    await writeReport({ notebooks: recordedIn(home), out: folder });
    expect(notebook).toContain("http-equiv");
    expect(readFileSync(join(folder, "a.html"), "utf8")).not.toContain("<meta http-equiv=refresh");
  });

  const planted = '<img src=x onerror="window.hit=1"><script>window.hit=1</script>';
  /** The record with markup in every text under these keys. */
  const withMarkup = <T>(record: T, keys: string): T =>
    JSON.parse(
      JSON.stringify(record)
        .replaceAll(new RegExp(`"(${keys})":"[^"]*"`, "g"), '"$1":"PLANTED"')
        .replaceAll("PLANTED", JSON.stringify(planted).slice(1, -1)),
    );

  it("shows markup from every field of a record as text", async () => {
    const keys =
      "statement|method|caption|alt|label|name|reason|sentence|strongest|title|text|unit|what|date";
    const whole = withMarkup(changeNotebook(), keys);
    const hostile = sampleRoot({ "1 <b>.ipynb": whole });
    const folder = mkdtempSync(join(tmpdir(), "hostile-"));
    const said =
      "title|question|says|message|reason|what|why|how|licence|column|file|path|occasion|on|primary|gripRule";
    const account = withMarkup(sampleAccount, said);
    await writeReport({ notebooks: recordedIn(hostile), out: folder, studies: [account] });
    for (const name of readdirSync(folder).filter((file) => file.endsWith(".html"))) {
      const page = readFileSync(join(folder, name), "utf8");
      expect(page, name).not.toMatch(/<img src=x|<script>window/);
    }
    expect(readFileSync(join(folder, "index.html"), "utf8")).toContain("&lt;img src=x");
  });

  it("shows raw HTML of a notebook's prose as text and loads no pictures", () => {
    const source =
      '<script>1</script> ![a](http://x/y.png) [x](javascript:alert(1)) [ok](https://doi.org/1)\n\n<iframe src="x">';
    const html = String(markdownHtml(source, "p"));
    expect(html).not.toMatch(/<script|<img|<iframe|href="javascript/);
    expect(html).toContain('<a href="https://doi.org/1">ok</a>');
    expect(html).toContain("<em>[a]</em>");
  });

  it("takes a recorded drawing into the page only when it is shapes and words", () => {
    const plain =
      '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><g style="fill: red;"><text x="1">a &lt; b</text></g></svg>';
    expect(isPlainDrawing(plain)).toBe(true);
    const bad = [
      plain.replace("<g", "<script>1</script><g"),
      plain.replace("<g", '<g onload="x()"'),
      plain.replace("<text", "<foreignObject/><text"),
      plain.replace("fill: red", "fill: url(http://x)"),
      plain.replace("<text", '<image href="http://x/y.png"/><text'),
      plain.replace("<text", '<a href="javascript:1"/><text'),
      `${plain}<p>after</p>`,
      plain.replace("</svg>", ""),
      "<!doctype html><svg ></svg>",
    ];
    expect(bad.filter(isPlainDrawing)).toEqual([]);
  });

  it("shows a drawing that is more than that as a picture, which runs nothing", async () => {
    const notebook = sampleNotebook("", [
      {
        code: "x",
        outputs: [
          {
            output_type: "display_data",
            metadata: {},
            data: {
              "application/vnd.tautline.figure+json": {
                kind: "figure",
                id: "f",
                caption: "C.",
                alt: "A.",
                data: [{ x: [1], y: [2] }],
                layout: {},
              },
              "image/svg+xml":
                '<svg xmlns="http://www.w3.org/2000/svg"><script>window.hit=1</script></svg>',
              "text/html": "<script>window.hit=1</script>",
            },
          },
          {
            output_type: "display_data",
            metadata: {},
            data: { "text/html": "<b>html</b>", "text/plain": "plain" },
          },
        ],
      },
    ]);
    const folder = mkdtempSync(join(tmpdir(), "svg-"));
    await writeReport({ notebooks: recordedIn(sampleRoot({ "a.ipynb": notebook })), out: folder });
    const page = readFileSync(join(folder, "a.html"), "utf8");
    expect(page).toContain('<img src="data:image/svg+xml;base64,');
    expect(page).not.toContain("window.hit");
    expect(page).toContain("<p>plain</p>");
  });
});

describe("cords", () => {
  const of = (id: string, value: number, low: number, high: number, unit = "kgf") => ({
    finding: finding({
      id,
      title: "x",
      value,
      low,
      high,
      unit,
      count: { n: 9, of: "golfers" },
      method: "t",
    }),
  });

  it("share a scale only with findings of their unit and size", () => {
    const sets = sharedScales([
      of("a", 2, 1, 3),
      of("mean", 41, 38, 44),
      of("b", 1, -1, 2),
      of("p", 2, 1, 3, "%"),
    ]);
    expect(sets.map((set) => set.map(({ finding }) => finding.id))).toEqual([
      ["a", "b"],
      ["mean"],
      ["p"],
    ]);
  });

  it("have a scale with round ticks that holds every limit, and zero when it is near", () => {
    const scale = scaleFor([of("a", 2, 1, 3.4).finding]);
    expect(ticksOf(scale)).toEqual([0, 1, 2, 3, 4]);
    expect(scaleFor([of("m", 41, 38, 44).finding]).from).toBe(38);
    // An interval that is as narrow as rounding leaves it still has an axis with ticks.
    const narrow = scaleFor([of("n", 1.5, 1.4999999999999998, 1.5000000000000002).finding]);
    expect(ticksOf(narrow).length).toBeGreaterThan(2);
  });

  it("show a count with its interval against all who were counted, and nothing without one", () => {
    const count = { n: 26, of: "golfers" } as const;
    const bare = { title: "Golfers", value: 2, count, method: "counting" };
    const counted = finding({ ...bare, id: "count", unit: "of 26" });
    expect(scaleFor([counted])).toEqual({ from: 0, to: 26 });
    expect(String(soloCord(counted))).toBe("");
    const sure = finding({ ...bare, id: "sure", unit: "of 26", low: 1, high: 5 });
    expect(String(soloCord(sure))).toContain('data-to="26"');
    expect(String(soloCord(finding({ ...bare, id: "alone", unit: "kgf" })))).toBe("");
  });
});

describe("what leaving one out does", () => {
  const fragile = (leaving?: "study") => () => {
    const leaveOneOut = {
      low: 1,
      high: 3,
      changesConclusion: ["N07"],
      ...(leaving && { leaving }),
    };
    const base = {
      id: `by-${leaving ?? "golfer"}`,
      title: "Grip: change",
      value: 2,
      count: { n: 9, of: "golfers" },
    } as const;
    finding({ ...base, low: 0.5, high: 3.5, unit: "kgf", method: "paired t", leaveOneOut });
  };
  const count = () => {
    const leaveOneOut = { low: 1, high: 2, changesConclusion: [] };
    const base = {
      id: "counted",
      title: "Golfers in the corner",
      value: 2,
      count: { n: 26, of: "golfers" },
    } as const;
    finding({ ...base, unit: "of 26", method: "counting", leaveOneOut });
  };

  it("stands beside each finding, and tells golfers from studies", async () => {
    const folder = mkdtempSync(join(tmpdir(), "ledger-"));
    const cells = [fragile(), fragile("study"), count].map((shows) => ({ code: "1;", shows }));
    const notebook = sampleNotebook("demo", cells);
    await writeReport({
      notebooks: recordedIn(sampleRoot({ "1-frail.ipynb": notebook })),
      out: folder,
    });
    const own = readFileSync(join(folder, "1-frail.html"), "utf8");
    for (const one of ["golfer", "study"]) {
      expect(own).toContain(
        `1.0 to 3.0 when one ${one} is left out; the conclusion changes if one of these is left out: N07`,
      );
    }
    expect(own).toContain("<dt>One study left out</dt>");
    expect(own).toContain("the count lies between 1 and 2, out of 25");
    expect(own).toContain("without an interval there is no conclusion to change");
  });
});

describe("numbers behind a figure", () => {
  it("give one row a point, names for places, and limits for intervals", () => {
    const data = figureData({
      data: [
        {
          type: "scatter",
          name: "mean",
          x: [2],
          y: [0],
          error_x: { array: [1], arrayminus: [0.5] },
        },
      ],
      layout: {
        xaxis: { title: { text: "Change (kgf)" } },
        yaxis: { tickvals: [0], ticktext: ["grip, <br>block"] },
      },
    });
    expect(data.columns).toEqual(["series", "Change (kgf)", "y", "lower limit", "upper limit"]);
    expect(data.rows).toEqual([["mean", 2, "grip, block", 1.5, 3]]);
    expect(figureCsv(data)).toBe(
      'series,Change (kgf),y,lower limit,upper limit\nmean,2,"grip, block",1.5,3\n',
    );
  });
});

describe("reporting items", () => {
  it("are filled from the record, stated by the authors, or missing", () => {
    const reported = { ...sampleAccount, done: analysisDone(sampleAccount.plan, []) };
    const items = filled(consortItems, "consort", reported);
    const from = Object.fromEntries(items.map((item) => [item.id, item.from]));
    expect(from).toMatchObject({ "5a": "statement", "22b": "record", "18": "missing" });
    expect(items.find(({ id }) => id === "22b")!.says).toContain("moved away");
    expect(items.find(({ id }) => id === "24a")!.says).toContain("201 of the 230 bouts in the log");
    expect(
      filled(certItems, "cert", { ...reported, training: [] }).find(({ id }) => id === "13")!.from,
    ).toBe("missing");
  });

  // CERT has 16 items in 19 rows, 7, 14 and 16 in two parts (Slade et al. 2016)
  it("count nineteen rows for a training programme", () => {
    expect(certItems.map(({ id }) => id)).toHaveLength(19);
    expect(new Set(certItems.map(({ id }) => Number.parseInt(id, 10))).size).toBe(16);
  });
});

describe("the cord", () => {
  const of = (low: number, high: number) =>
    finding({
      id: "c",
      title: "x",
      value: 2,
      low,
      high,
      unit: "kgf",
      count: { n: 9, of: "golfers" },
      method: "t",
    });
  const line = (one: ReturnType<typeof of>) =>
    /class="line" d="M([\d.]+) ([\d.]+)Q[\d.]+ ([\d.]+) ([\d.]+) ([\d.]+)"/
      .exec(String(cordSvg(one, { from: -4, to: 6 })))
      ?.slice(1)
      .map(Number);

  it("is taut where the interval excludes zero, and hangs where it includes it", () => {
    const [, taut, middle] = line(of(1, 3)) ?? [];
    expect(middle).toBe(taut);
    const [, end, hanging] = line(of(-1, 5)) ?? [];
    expect(Number(hanging) - Number(end)).toBeGreaterThan(5);
  });

  it("holds its ends at the limits", () => {
    const [low, , , high] = line(of(-1, 5)) ?? [];
    // 220 px with margins of 9: a unit of the scale from −4 to 6 is 20.2 px
    expect(low).toBeCloseTo(9 + 3 * 20.2, 1);
    expect(high).toBeCloseTo(9 + 9 * 20.2, 1);
  });
});
