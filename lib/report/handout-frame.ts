import { type Markup, markup, trustedMarkup } from "../markup.js";
import { contentPolicy } from "./page-frame.js";
import { stylesheet } from "./stylesheet.js";
import { inlineFontFaces } from "./type-faces.js";

/** A handout fits one printed page, and so its letters are smaller than a screen page's. */
const sheetStyle = `
main{max-width:50rem}
h1{margin:.8rem 0 .2rem;font-size:1.7rem}
h2{font-size:1.1rem;margin:1rem 0 .2rem}
p,ul{margin:.35rem 0;max-width:none}
.sheet{width:100%;font-size:.84rem}
.sheet th,.sheet td{padding:.25rem .6rem .25rem 0}
.sheet small{display:block}
.trials{width:100%;max-width:40rem}
.trials text{font-size:11px;fill:var(--soft)}.trials .end{text-anchor:end}.trials .mid{text-anchor:middle}
.trials .grid{stroke:var(--rule)}
.trials .lead{fill:var(--lead)}.trials .trail{fill:var(--paper);stroke:var(--trail);stroke-width:1.6}.trials .speed{fill:var(--speed)}
.cautions{margin:1rem 0 0;padding:.1rem 1rem}
.cautions li{font-size:.88rem}
.plain{list-style:none;padding:0}.plain li{display:grid;grid-template-columns:minmax(0,1fr) 15rem;gap:1rem;padding:.35rem 0;border-bottom:1px solid var(--rule);break-inside:avoid}
@media (max-width:40rem){.plain li{grid-template-columns:1fr}.sheet{display:block;overflow-x:auto}}
figure{margin:.6rem 0}
@media print{
@page{size:A4;margin:11mm 14mm}
html{font-size:11px}
main{max-width:none}
body{font-size:8.5pt;line-height:1.4}
h1{font-size:15pt;margin-top:0}
h2,.cautions h2{font-size:11pt;margin:.5rem 0 .1rem}
.sheet{font-size:8pt;line-height:1.3}
.sheet th,.sheet td{padding-top:.12rem;padding-bottom:.12rem}
.trials{max-width:46rem}
.sheet td small{white-space:nowrap}
.cautions li{font-size:8pt}
.cautions ul{margin:.1rem 0}
}`;

/** One page of its own for paper: all in the file, no script. */
export function handoutHtml(title: string, body: Markup): string {
  return String(markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${trustedMarkup(contentPolicy([], true))}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<style>${trustedMarkup(inlineFontFaces() + stylesheet + sheetStyle)}</style>
</head>
<body>
<main>
<h1>${title}</h1>
${body}
</main>
</body>
</html>
`);
}
