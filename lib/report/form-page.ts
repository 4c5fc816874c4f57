import type { FormContent } from "../form/form-content.js";
import { htmlDocument, markup, trustedMarkup } from "../markup.js";
import { colours } from "../show/look.js";
import { hashSource, scriptText } from "./page-frame.js";
import { bundle } from "./programs.js";

/**
 * The recording form of a study as one page that needs no other file and no network: program, style
 * and the study's design are inside. Its policy lets it run this program only and load nothing.
 */
export async function formPage(content: FormContent): Promise<string> {
  const program = scriptText(await bundle({ path: "form/page/form.js" }));
  const policy = [
    "default-src 'none'",
    `script-src ${hashSource(program)}`,
    `style-src ${hashSource(style)}`,
    "img-src 'none'",
    "form-action 'none'",
    "base-uri 'none'",
  ].join("; ");
  // "<" is written as an escape, so that no text of the study ends the element.
  const data = JSON.stringify(content).replaceAll("<", "\\u003c");
  const title = content.purpose === "diary" ? "Training diary" : "Recording form";
  return htmlDocument({
    title: `${title}: ${content.title}`,
    policy,
    head: markup`<style>${trustedMarkup(style)}</style>`,
    body: markup`<main><noscript><p>This form needs scripts. Without them, use the recording sheets on paper.</p></noscript></main>
<script type="application/json">${trustedMarkup(data)}</script>
<script>${trustedMarkup(program)}</script>`,
  });
}

/** Touch targets are at least 44 px high; the value is read at arm's length. */
const style = `
:root { color-scheme: light dark; --paper: ${colours.paper}; --ink: ${colours.ink}; --faint: #4a5563; --line: #8a95a2; --main: #0f5f66; --onmain: #ffffff; --caution: #a8431c; }
@media (prefers-color-scheme: dark) { :root { --paper: #14191f; --ink: #eef0f2; --faint: #b4bdc7; --line: #66717e; --main: #7fd0d6; --onmain: #10242a; --caution: #f09a72; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 18px/1.45 system-ui, "Segoe UI", Roboto, "DejaVu Sans", sans-serif; }
main { max-width: 44rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.5rem; line-height: 1.2; margin: .5rem 0; }
h2 { font-size: 1.1rem; margin: 1.25rem 0 .5rem; }
button, input[type=text], input[type=date], select, a[download], summary { min-height: 48px; font: inherit; color: inherit; border-radius: 6px; }
button { border: 1px solid var(--line); background: transparent; padding: .4rem 1rem; margin: .25rem .4rem .25rem 0; cursor: pointer; text-align: left; }
button.main { background: var(--main); color: var(--onmain); border-color: var(--main); font-weight: 600; min-width: 9rem; text-align: center; }
button[aria-pressed=true] { border: 3px solid var(--main); font-weight: 600; }
button.done { color: var(--faint); }
:focus-visible { outline: 3px solid var(--main); outline-offset: 2px; }
input[type=text], input[type=date], select { width: 100%; border: 1px solid var(--line); background: transparent; padding: .3rem .6rem; }
select option { color: ${colours.ink}; background: #ffffff; }
input.value { font-size: 2.6rem; min-height: 76px; font-variant-numeric: tabular-nums; max-width: 14rem; display: block; }
label.choice { display: inline-flex; align-items: center; min-height: 48px; padding: 0 1.2rem 0 0; }
input[type=radio] { width: 26px; height: 26px; margin: 0 .6rem 0 0; accent-color: var(--main); }
summary { display: flex; align-items: center; gap: .5rem; padding: .3rem 0; cursor: pointer; color: var(--faint); }
summary::before { content: "+"; font-weight: 600; width: 1em; } [open] > summary::before { content: "−"; }
.reading { display: flex; align-items: end; gap: .8rem; } .reading .field { margin: .7rem 0 .2rem; }
a[download] { display: inline-flex; align-items: center; color: var(--main); overflow-wrap: anywhere; }
fieldset { border: 1px solid var(--line); border-radius: 6px; margin: .75rem 0; padding: .25rem .9rem .5rem; }
legend { float: left; width: 100%; padding: .5rem 0 .25rem; }
legend + * { clear: left; }
ul, ol { padding-left: 1.2rem; } .golfers { list-style: none; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(11rem, 1fr)); gap: .4rem; } .golfers button { width: 100%; margin: 0; }
.caution { border-left: 5px solid var(--caution); padding-left: .8rem; }
ul.caution { padding-left: 2rem; }
.who, .count, .how, .was, footer { color: var(--faint); margin: .2rem 0; }
.field { margin: .7rem 0; } .field label { display: block; }
.unit { font-size: 1.3rem; margin: .2rem 0 .6rem; }
.rest.running, .timer { font-size: 1.5rem; font-variant-numeric: tabular-nums; }
.panel:not(:empty) { border: 3px solid var(--caution); border-radius: 6px; padding: .4rem .9rem .7rem; margin: .7rem 0; }
.message { min-height: 1.5em; margin: 0; font-weight: 600; }
[role=alert] { color: var(--caution); font-weight: 600; margin: .3rem 0; }
footer { margin-top: 2rem; border-top: 1px solid var(--line); padding-top: .5rem; }
@media print { body { display: none; } }
`;
