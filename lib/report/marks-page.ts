import type { Marks } from "../learn/marks.js";
import { htmlDocument, type Markup, markup, trustedMarkup } from "../markup.js";
import { colours } from "../show/look.js";

/** A page for the teacher: the exercises of the class, then each student. */
export function marksPage({ marks, exercises, warnings }: Marks): string {
  const codes = [...new Set(marks.map(({ code }) => code))];
  return htmlDocument({
    title: "Marks of the class",
    head: markup`<style>${trustedMarkup(style)}</style>`,
    body: markup`<main>
<h1>Marks of the class</h1>
<p>${codes.length} ${codes.length === 1 ? "student" : "students"}. Every answer was checked again on the golfers of the student's code.</p>
${warnings.length > 0 ? markup`<h2>Look at these</h2><ul>${warnings.map((text) => markup`<li>${text}</li>`)}</ul>` : ""}
<h2>Exercises</h2>
<div class="wide"><table><thead><tr><th scope="col">Exercise</th><th scope="col">Students</th><th scope="col">Right</th><th scope="col">Wrong tries</th><th scope="col">Commonest mistake</th></tr></thead>
<tbody>${exercises.map(exerciseRow)}</tbody></table></div>
<h2>Students</h2>
<div class="wide"><table><thead><tr><th scope="col">Code</th><th scope="col">Right</th><th scope="col">Answered</th><th scope="col">Wrong tries</th><th scope="col">Minutes</th><th scope="col">Mistakes</th></tr></thead>
<tbody>${codes.map((code) => studentRow(code, marks))}</tbody></table></div>
</main>`,
  });
}

function exerciseRow({ asks, students, right, tries, slip }: Marks["exercises"][number]): Markup {
  return markup`<tr><th scope="row">${asks}</th><td>${students}</td><td>${right}</td><td>${tries}</td><td class="words">${slip || "none"}</td></tr>`;
}

function studentRow(code: string, marks: Marks["marks"]): Markup {
  const ofStudent = marks.filter((mark) => mark.code === code);
  const slips = [...new Set(ofStudent.map(({ slip }) => slip).filter((slip) => slip !== ""))];
  const answered = ofStudent.filter(({ answer }) => answer !== "").length;
  const minutes = Math.max(...ofStudent.map((mark) => mark.minutes));
  const tries = ofStudent.reduce((sum, mark) => sum + mark.tries, 0);
  return markup`<tr><th scope="row">${code}</th><td>${ofStudent.filter(({ right }) => right).length}</td><td>${answered}</td><td>${tries}</td><td>${minutes}</td><td class="words">${slips.join(", ") || "none"}</td></tr>`;
}

const style = `
:root { color: ${colours.ink}; background: ${colours.paper}; font: 16px/1.45 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
main { max-width: 60rem; margin: 0 auto; padding: 1rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
th, td { padding: .3rem .8rem .3rem 0; border-bottom: 1px solid #c9cfd6; text-align: right; vertical-align: top; }
th[scope=row], .words, th:first-child, th:last-child { text-align: left; }
th { font-weight: 600; }
@media print { @page { size: A4; margin: 14mm; } :root { background: #fff; font-size: 10pt; } }
`;
