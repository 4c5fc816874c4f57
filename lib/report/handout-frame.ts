import { htmlDocument, type Markup, markup, trustedMarkup } from "../markup.js";
import { contentPolicy } from "./page-frame.js";
import { sans, stylesheet } from "./stylesheet.js";
import { inlineFontFaces } from "./type-faces.js";

/** A handout fits one printed page: its letters are smaller there than on a screen. */
const sheetStyle = `
main{max-width:50rem;padding-top:1rem}
h1{margin:.1rem 0 .5rem;font-size:clamp(1.4rem,4vw,1.9rem);max-width:none}
h2{font-size:1.15rem;margin:1.1rem 0 .25rem}
p,ul{margin:.35rem 0}
.key-answer{font-size:1.14rem;max-width:none}
.sheet{width:100%;font-size:.9rem}
.sheet th,.sheet td{padding:.25rem .8rem .25rem 0}
.sheet caption{caption-side:bottom}
.trials{width:100%;height:auto;display:block}
.trials text{font:14px ${sans};fill:var(--ink)}.trials .end{text-anchor:end}.trials .mid{text-anchor:middle;font-size:12.5px;fill:var(--soft)}.trials .heading{font-weight:600}
.narrow-drawing .trials text{font-size:12.5px}
.trials .grid{stroke:var(--rule);fill:none}.trials .band{fill:var(--edge);opacity:.5}
.trials .first{fill:none;stroke:var(--soft);stroke-width:1.3}
.trials .mean-first{stroke:var(--soft);stroke-width:2.5;fill:none}.trials .mean-last{stroke:var(--ink);stroke-width:2.5;fill:none}
.trials .lead{fill:var(--lead)}.trials .trail{fill:var(--paper);stroke:var(--trail);stroke-width:1.6}.trials .speed{fill:var(--speed)}
.cautions{margin:1rem 0 0}
.say{display:grid;grid-template-columns:1fr 1fr;gap:0 2.5rem}
.say li{margin:.3rem 0}
figure{margin:.6rem 0}
@media screen and (max-width:46rem){
.say{display:block}
.sheet,.sheet tbody,.sheet tr,.sheet th,.sheet td{display:block;border:0;padding:0}
.sheet thead{position:absolute;left:-99rem}
.sheet tr{border-top:1px solid var(--rule);padding:.45rem 0}
.sheet tbody th{font-weight:600}
.sheet td[data-label]{display:grid;grid-template-columns:7.5rem minmax(0,1fr);gap:.5rem}
.sheet td[data-label]::before{content:attr(data-label);color:var(--soft)}
.sheet caption{display:block}
}
@media print{
@page{size:A4;margin:11mm 15mm}
html{font-size:10.7px}
main{max-width:none}
h1{font-size:19px}
.key-answer{font-size:14px}
.charts{display:grid;grid-template-columns:1fr 1fr;gap:0 6mm;align-items:start}
.charts .wide-drawing{display:none!important}.charts .narrow-drawing{display:block!important}
p,figcaption,.cautions{max-width:none}
.sheet td small{white-space:nowrap}.sheet th small{display:inline}
.plot .drawing svg{max-height:90mm!important}
body{line-height:1.36}
h2{margin:.6rem 0 .1rem}
.cautions{margin-top:.6rem}
.cautions ul{columns:2;column-gap:8mm}
.cautions li{break-inside:avoid}
.sheet th,.sheet td{padding-top:.1rem;padding-bottom:.1rem}
figure{margin:.3rem 0}
}`;

/**
 * One page of its own for paper: all in the file, no script.
 * @param name title of the browser window
 * @param title the heading: the page's answer
 * @param about the line above the heading
 */
export function handoutHtml(name: string, title: string, about: Markup, body: Markup): string {
  return htmlDocument({
    title: name,
    policy: contentPolicy([], true),
    head: markup`<meta name="referrer" content="no-referrer">
<style>${trustedMarkup(inlineFontFaces() + stylesheet + sheetStyle)}</style>`,
    body: markup`<main>
<p class="eyebrow">${about}</p>
<h1>${title}</h1>
${body}
</main>`,
  });
}
