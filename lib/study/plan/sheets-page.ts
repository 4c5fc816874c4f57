import { htmlDocument, joined, type Markup, markup, trustedMarkup } from "../../markup.js";
import type { StudyDesign } from "../package/design.js";
import type { GripTask, RecordingSheets, SheetPerson } from "./sheets.js";
import {
  deference,
  gripScript,
  screeningQuestions,
  screeningRule,
  stopRule,
  swingScript,
} from "./sheets-words.js";

/** What the page needs beside the trials. */
export interface SheetPageOptions {
  /** The golfers who are tested. */
  readonly people: readonly SheetPerson[];
  /** What the sheet says about the study. */
  readonly study: {
    readonly title: string;
    readonly design: StudyDesign;
    readonly cautions: readonly string[];
  };
  /** Unit in which grip is written down. */
  readonly forceUnit: string;
  /** Unit in which club speed is written down. */
  readonly speedUnit: string;
}

/**
 * A printable page of one occasion: the tester's part first, then a sheet per golfer, each on paper of
 * its own. It holds no script and loads nothing.
 */
export function sheetPage(sheets: RecordingSheets, options: SheetPageOptions): string {
  const occasion = options.study.design.occasions.find(({ id }) => id === sheets.occasion);
  const title = `${options.study.title}: ${occasion?.title || sheets.occasion}`;
  return htmlDocument({
    title: `Recording sheets: ${title}`,
    head: markup`<style>${trustedMarkup(style)}</style>`,
    body: markup`<main>
<section class="tester" aria-labelledby="tester">
<h1 id="tester">${title}</h1>
${paragraph(orderNote(sheets), "small")}
${testerPart(sheets, options)}
</section>
${joined(
  options.people.map((person) => personPart(sheets, person, options)),
  "\n",
)}
</main>`,
  });
}

function testerPart(sheets: RecordingSheets, { study }: SheetPageOptions): Markup {
  const { gripTrials, swings, positions, clubs } = study.design;
  const { restSeconds } = sheets;
  const parts = [
    paragraph(deference, "caution"),
    markup`<h2>Before anything else</h2>`,
    list(screeningQuestions),
    paragraph(screeningRule, "caution"),
    markup`<h2>Stop rule</h2>`,
    paragraph(stopRule, "caution"),
  ];
  if (sheets.grip.length > 0)
    parts.push(
      markup`<h2>Grip</h2>`,
      numbered(gripScript({ restSeconds, trials: gripTrials })),
      positionsPart(positions),
    );
  if (clubs.length > 0) parts.push(markup`<h2>Swings</h2>`, numbered(swingScript({ swings })));
  const extra =
    study.cautions.length > 0
      ? [markup`<h2>Cautions of this study</h2>`, list(study.cautions)]
      : [];
  return joined([...parts, ...extra], "\n");
}

function orderNote({ method, seed }: RecordingSheets): string {
  return `Order: ${method}. Seed ${seed}.`;
}

function positionsPart(positions: StudyDesign["positions"]): Markup {
  const rows = positions.map(
    ({ id, title, how }) => markup`<dt>${title || id}</dt><dd>${how || "as agreed"}</dd>`,
  );
  return markup`<dl>${rows}</dl>`;
}

function personPart(
  sheets: RecordingSheets,
  person: SheetPerson,
  options: SheetPageOptions,
): Markup {
  const code = person.participant;
  const grip = sheets.grip.filter(({ participant }) => participant === code);
  const swings = sheets.swings.filter(({ participant }) => participant === code);
  const occasion = options.study.design.occasions.find(({ id }) => id === sheets.occasion);
  const visit = occasion?.title || sheets.occasion;
  const side = person.plays ? `plays from the ${person.plays} side` : "playing side ______";
  return markup`<section class="person" aria-label="Sheet of ${code}">
<h2>${code} <span class="small">${visit}, ${side}</span></h2>
<p class="line">Day ____________ Tester ____________ Device ____________ Handle ________ mm</p>
<p class="line">Screening: every answer no <span class="box"></span> Agrees to be tested today <span class="box"></span></p>
${grip.length > 0 ? gripTable(grip, sheets.restSeconds, options) : ""}
${swings.length > 0 ? swingTable(swings, options) : ""}
<p class="line small">Status: valid · pain-stop · refused · device. A value not measured stays empty. Anything odd, or pain afterwards: ______________________________</p>
</section>`;
}

function gripTable(
  tasks: readonly GripTask[],
  restSeconds: number,
  { study, forceUnit }: SheetPageOptions,
): Markup {
  const titles = new Map(study.design.positions.map(({ id, title }) => [id, title || id]));
  const rows = tasks.map((task, i) => {
    const hand = task.hand === task.handRole ? task.hand : `${task.hand} (${task.handRole})`;
    const opens = tasks[i - 1]?.position !== task.position;
    return row(
      [
        String(i + 1),
        titles.get(task.position) ?? task.position,
        hand,
        String(task.trial),
        "",
        "",
        "",
      ],
      opens ? "opens" : "",
    );
  });
  const head = ["", "Position", "Hand", "Trial", "Time", `Force (${forceUnit})`, "Status, note"];
  const widths = [8, 18, 12, 11, 11, 12, 15];
  const caption = `Grip, in this order; same hand again after ${restSeconds} s at the earliest`;
  return sheetTable(caption, head, widths, rows);
}

function swingTable(tasks: RecordingSheets["swings"], { speedUnit }: SheetPageOptions): Markup {
  const rows = tasks.map(({ club, swing }) => row([club, String(swing), "", "", ""]));
  const head = ["Club", "Swing", "Time", `Speed (${speedUnit})`, "Status, note"];
  return sheetTable("Swings", head, [18, 13, 15, 15, 26], rows);
}

/** @param widths of the columns on a phone, in shares of the table's width */
function sheetTable(
  caption: string,
  head: readonly string[],
  widths: readonly number[],
  rows: readonly Markup[],
): Markup {
  const whole = widths.reduce((sum, width) => sum + width, 0);
  const columns = widths.map(
    (width) => markup`<col style="--share:${((100 * width) / whole).toFixed(1)}%">`,
  );
  const cells = head.map(
    (name) => markup`<th scope="col">${name || markup`<span>No.</span>`}</th>`,
  );
  return markup`<table><caption>${caption}</caption><colgroup>${columns}</colgroup>
<thead><tr>${cells}</tr></thead>
<tbody>
${joined(rows, "\n")}
</tbody></table>`;
}

function row(cells: readonly string[], name = ""): Markup {
  const marked = name ? markup` class="${name}"` : "";
  return markup`<tr${marked}>${cells.map((cell) => markup`<td>${cell}</td>`)}</tr>`;
}

function paragraph(text: string, name: string): Markup {
  return markup`<p class="${name}">${text}</p>`;
}

function list(texts: readonly string[]): Markup {
  return markup`<ul>${texts.map((text) => markup`<li>${text}</li>`)}</ul>`;
}

function numbered(texts: readonly string[]): Markup {
  return markup`<ol>${texts.map((text) => markup`<li>${text}</li>`)}</ol>`;
}

const style = `
:root { color: #1d2733; background: #fbfaf6; font: 11pt/1.4 "DejaVu Sans", "Segoe UI", sans-serif; }
main { max-width: 190mm; margin: 0 auto; padding: 8mm; }
h1 { font-size: 16pt; margin: 0 0 4mm; }
h2 { font-size: 12pt; margin: 5mm 0 2mm; }
.caution { border-left: 1.2mm solid #b5532d; padding-left: 3mm; }
.small { font-size: 9pt; font-weight: normal; color: #4a5563; }
.line { margin: 2mm 0; }
.box { display: inline-block; width: 4mm; height: 4mm; border: 0.3mm solid #1d2733; vertical-align: middle; margin-right: 6mm; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 1mm 4mm; }
dt { font-weight: bold; } dd { margin: 0; }
table { border-collapse: collapse; width: 100%; margin: 3mm 0; }
caption { text-align: left; font-weight: bold; padding-bottom: 1mm; }
th, td { border: 0.2mm solid #7a8694; padding: 0.9mm 1.6mm; text-align: left; }
th { font-weight: normal; color: #4a5563; }
td:nth-last-child(-n+3) { min-width: 20mm; }
tr.opens td { border-top: 0.6mm solid #1d2733; }
.line, caption { overflow-wrap: anywhere; }
@media screen and (max-width: 720px) {
  main { padding: 4mm; }
  table { table-layout: fixed; }
  th, td { padding: 0.8mm 0.6mm; font-size: 9pt; overflow-wrap: break-word; }
  col { width: var(--share); }
  td:nth-last-child(-n+3) { min-width: 0; }
}
@media print {
  @page { size: A4; margin: 12mm; }
  :root { background: #fff; font-size: 9.5pt; }
  main { padding: 0; max-width: none; }
  .tester { font-size: 9pt; }
  .person { break-before: page; }
  tr { break-inside: avoid; }
}
`;
