import { colours } from "../show/look.js";
import { lessonStyle } from "./lesson-style.js";

/** The palette as custom properties, as paper shows it. */
export const light = `--paper:${colours.paper};--panel:#f4f1e8;--ink:${colours.ink};--soft:${colours.soft};--lead:${colours.lead};--trail:${colours.trail};--speed:${colours.speed};--control:${colours.control};--rule:${colours.rule};--edge:#cfc9ba;--good:#0b5f5a;--bad:#97391b;--link:#0a5f5b;`;
const dark = `--paper:#14191f;--panel:#1c232b;--ink:#ece7db;--soft:#aab2bb;--lead:#5bc0b7;--trail:#e8956c;--speed:#9fa9f4;--control:#9aa6b3;--rule:#2b343d;--edge:#3d4752;--good:#77cfc6;--bad:#f0a582;--link:#74ccc3;`;

const base = `
:root{color-scheme:light;${light}}
:root[data-theme=dark]{color-scheme:dark;${dark}}
@media (prefers-color-scheme:dark){:root:not([data-theme=light]){color-scheme:dark;${dark}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.6 "Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif;font-variant-numeric:tabular-nums}
h1,h2,h3,h4,.brand,.question{font-family:"Iowan Old Style","Palatino Linotype",Palatino,"Book Antiqua",Georgia,serif;line-height:1.25;text-wrap:balance}
h1{font-size:clamp(1.7rem,4.5vw,2.5rem);font-weight:600;margin:1.6rem 0 .6rem}
h2{font-size:1.5rem;margin:2.4rem 0 .6rem}
h3{font-size:1.18rem;margin:2rem 0 .5rem}
p,ul,ol,dl{margin:.7rem 0}
p,.prose li{max-width:44rem}
a{color:var(--link);text-underline-offset:.15em}
a:focus-visible,button:focus-visible,summary:focus-visible,[tabindex]:focus-visible{outline:3px solid var(--speed);outline-offset:2px;border-radius:2px}
small{font-size:.82em;color:var(--soft)}
code,pre{font:0.86rem/1.5 ui-monospace,"Cascadia Mono",Menlo,Consolas,"DejaVu Sans Mono",monospace}
pre{overflow:auto;background:var(--panel);padding:.8rem 1rem;border-left:3px solid var(--edge);margin:.6rem 0}
pre.error{border-color:var(--bad)}
button{font:inherit;font-size:.86rem;color:var(--ink);background:var(--panel);border:1px solid var(--edge);border-radius:3px;padding:.3rem .7rem;cursor:pointer}
button:hover{border-color:var(--ink)}
button[disabled]{opacity:.6;cursor:default}
`;

const frame = `
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:.5rem;background:var(--paper);padding:.4rem .8rem;z-index:2}
.top{border-bottom:1px solid var(--edge)}
.top>div,main,.foot>div{max-width:68rem;margin:0 auto;padding:0 1.25rem}
.top>div{display:flex;flex-wrap:wrap;align-items:center;gap:.4rem 1.4rem;padding-top:.8rem;padding-bottom:.8rem}
.brand{font-size:1.15rem;font-weight:600;color:var(--ink);text-decoration:none;display:flex;align-items:center;gap:.6rem}
.brand svg{width:4.2rem;height:.9rem}
.brand .cord{stroke:var(--ink);stroke-width:1.5}.brand .near{fill:var(--lead)}.brand .far{fill:var(--paper);stroke:var(--trail);stroke-width:2}
.top nav{order:3;flex-basis:100%}
.top button{margin-left:auto}
.menu{display:flex;flex-wrap:wrap;gap:.15rem 1.1rem;list-style:none;margin:0;padding:0;font-size:.92rem}
.menu a{color:var(--soft);text-decoration:none;display:inline-block;padding:.15rem 0;border-bottom:2px solid transparent}
.menu a:hover{color:var(--ink);border-color:var(--edge)}
.menu a[aria-current]{color:var(--ink);border-color:var(--lead)}
main{padding-bottom:3rem;min-height:60vh}
.foot{border-top:1px solid var(--edge);color:var(--soft);font-size:.86rem}
.foot>div{padding-top:1rem;padding-bottom:2rem}
.about,.tools{color:var(--soft);font-size:.9rem;margin:.3rem 0}
.scripted{display:none}.js .scripted{display:initial}
html:not(.js) .tools,html:not(.js) [data-act=theme]{display:none}
`;

const record = `
.wide{overflow-x:auto;margin:1rem 0;max-width:100%}
table{border-collapse:collapse;font-size:.9rem;min-width:60%}
caption{text-align:left;font-weight:600;padding:.3rem 0 .5rem;color:var(--ink)}
th,td{text-align:left;vertical-align:top;padding:.38rem .9rem .38rem 0;border-bottom:1px solid var(--rule)}
thead th{font-size:.8rem;font-weight:600;color:var(--soft);border-bottom:1px solid var(--edge)}
tbody th{font-weight:500}
td.number{text-align:right;padding-right:1.2rem}
.hash{font-size:.74rem;word-break:break-all}
.ledger{width:100%}
.ledger caption{font-size:1rem}
.ledger th small{display:block;font-weight:400}
.ledger td{white-space:nowrap}
.ledger .value small,.ledger .leave-one-out{display:block}
.ledger .leave-one-out{white-space:normal;max-width:14rem}
.ledger .picture{width:17rem;padding-top:.5rem}
.ledger .check{white-space:normal;min-width:7rem}
.ledger .axis td{border-bottom:2px solid var(--edge);padding-top:0;padding-bottom:.7rem}
.strip,.scale{display:block;width:16.25rem;max-width:100%;height:auto;overflow:visible}
.strip path{fill:none}
.strip .zero{stroke:var(--soft);stroke-width:1}
.strip .reference{stroke:var(--speed);stroke-width:1.4;stroke-dasharray:3 2.5}
.strip .interval{stroke:var(--ink);stroke-width:2}
.strip .mark *{stroke-width:2}
.mark.lead *{fill:var(--lead);stroke:var(--lead)}.mark.trail path{fill:var(--paper);stroke:var(--trail)}
.mark.speed path{fill:var(--speed);stroke:var(--speed)}.mark.control path{fill:var(--paper);stroke:var(--control)}
.scale path{stroke:var(--soft);fill:none}.scale text{font-size:10.5px;fill:var(--soft);text-anchor:middle}
.badge{display:inline-block;font-size:.76rem;line-height:1.3;padding:.1rem .45rem;border-radius:2px;border:1px solid currentColor;color:var(--soft)}
.badge.good{color:var(--good)}.badge.bad{color:var(--bad);font-weight:600}.badge.ask{color:var(--speed)}
.badge.good::before{content:"✓ "}.badge.bad::before{content:"! "}
.items tr.missing td:nth-child(2){color:var(--soft)}
.finding{margin:1.2rem 0;padding:.2rem 0 .2rem 1rem;border-left:3px solid var(--lead);display:grid;grid-template-columns:minmax(0,44rem) 18rem;gap:0 1.5rem;align-items:start}
.finding>p{font-size:1.05rem;margin:.1rem 0}
.finding>.trace{grid-column:1/-1}
.finding:target,.plot:target,.cell:target,.claim:target{background:var(--panel);outline:.5rem solid var(--panel)}
.solo{display:grid;grid-template-columns:minmax(0,16.25rem) auto;gap:0 .4rem;margin:.1rem 0}
.solo svg{grid-column:1}.solo .unit{font-size:.78rem;color:var(--soft);grid-area:2/2;line-height:1.3}
.key{display:flex;flex-wrap:wrap;gap:.2rem 1.3rem;font-size:.86rem;color:var(--soft);margin:.3rem 0;padding:0;list-style:none;max-width:none}
.key .strip{display:inline-block;width:1.5rem;height:1.1rem;vertical-align:-.25rem}
details{margin:.5rem 0}
summary{cursor:pointer;color:var(--soft);font-size:.9rem;width:fit-content}
summary:hover{color:var(--ink)}
details[open]>summary{margin-bottom:.4rem}
dl{display:grid;gap:.35rem;font-size:.9rem;max-width:48rem}
dl>div{display:grid;grid-template-columns:11rem 1fr;gap:1rem;border-bottom:1px solid var(--rule);padding-bottom:.3rem}
dt{color:var(--soft)}dd{margin:0;overflow-wrap:anywhere}dd ul{margin:0;padding-left:1.1rem}
.claim{margin:1rem 0;padding:.5rem 1rem;border:1px solid var(--edge);border-left-width:5px;max-width:46rem}
.claim.supported{border-left-color:var(--good)}.claim.contradicted{border-left-color:var(--bad)}
.claim p{margin:.2rem 0}.claim ul{margin:.2rem 0;font-size:.9rem;color:var(--soft)}
`;

const figures = `
.plot{margin:1.6rem 0;max-width:46rem}
.canvas{background:var(--paper);position:relative}
.canvas svg,.canvas img{display:block;max-width:100%;height:auto}
.canvas text{white-space:pre}
figcaption{font-size:.92rem;color:var(--ink);margin-top:.3rem;max-width:44rem}
figcaption .download{white-space:nowrap}
.numbers table{font-size:.82rem}
.prose{max-width:46rem}
.prose blockquote{margin:.8rem 0;padding-left:1rem;border-left:3px solid var(--edge);color:var(--soft)}
img.result{max-width:100%}
`;

const overview = `
.question{font-size:1.22rem;max-width:42rem}
.invented{border:1px dashed var(--edge);padding:.4rem .8rem;width:fit-content;max-width:100%;font-size:.92rem}
.verdict{border-left:5px solid var(--edge);background:var(--panel);padding:.6rem 1rem;max-width:46rem}
.verdict p{margin:0}.verdict.good{border-color:var(--good)}.verdict.bad{border-color:var(--bad)}
.cautions{border:1px solid var(--edge);border-left:5px solid var(--trail);padding:.2rem 1.2rem;margin:2.5rem 0;max-width:46rem}
.cautions h2{font-size:1.15rem;margin:.8rem 0 .3rem}
.contents{padding-left:1.4rem}.contents li{margin:.2rem 0}
.flow{max-width:46rem}
.flow .enrolled{border:1px solid var(--edge);padding:.4rem 1rem;width:fit-content;margin:0 auto;background:var(--panel)}
.arms{display:grid;grid-template-columns:repeat(auto-fit,minmax(15rem,1fr));gap:1.2rem;margin-top:1rem}
.arm h3{font-size:1rem;margin:0 0 .4rem}
.arm ol{list-style:none;margin:0;padding:0 0 0 .9rem;border-left:2px solid var(--edge)}
.arm li{position:relative;padding:.28rem 0}
.arm ol>li::before{content:"";position:absolute;left:-1.28rem;top:.72rem;width:.6rem;height:.6rem;border-radius:50%;background:var(--paper);border:2px solid var(--lead)}
.arm .in::before,.arm .out::before{background:var(--lead)!important}
.arm .left{color:var(--bad)}.arm .left::before{border-color:var(--bad)!important;border-radius:0!important}
.arm .left ul{margin:0;padding-left:1.1rem;list-style:disc;color:var(--ink);font-size:.9rem}
.recompute{margin:1rem 0}
.recompute [role=status]:not(:empty){border-left:5px solid var(--edge);background:var(--panel);padding:.5rem 1rem;max-width:46rem}
.recompute.good [role=status]{border-color:var(--good)}.recompute.bad [role=status]{border-color:var(--bad)}
.recompute .digits{font-size:.8rem}
tr.off th,tr.off td{color:var(--bad)}
`;

const narrow = `
@media (max-width:46rem){
.finding{grid-template-columns:minmax(0,1fr)}
.ledger caption{display:block}
.ledger thead{position:absolute;left:-99rem}
.ledger,.ledger tbody,.ledger tr,.ledger td,.ledger th{display:block;border:0;padding-right:0}
.ledger tr{border-bottom:1px solid var(--rule);padding:.5rem 0}
.ledger td{padding:.1rem 0;white-space:normal}
.ledger .value,.ledger .limits{display:inline-block;margin-right:1rem}
.ledger .value small{display:inline}
.ledger .axis td:not(.picture):not(:last-child){display:none}
dl>div{grid-template-columns:1fr;gap:0}
}
@media print{
:root:root:root{color-scheme:light;${light}}
@page{margin:18mm 16mm}
body{font-size:10pt}
.menu,.tools,button,.skip,.download,.scripted{display:none!important}
main,.top>div,.foot>div{max-width:none;padding-left:0;padding-right:0}
.plot,.finding,.claim,tr,.arm{break-inside:avoid}
h2,h3{break-after:avoid}
.wide{overflow:visible}
details:not([open]){display:none}
a{color:inherit;text-decoration:none}
}
`;

/** The site's whole stylesheet: one theme in light and dark, narrow screens, print. */
export const stylesheet = [base, frame, record, figures, overview, lessonStyle, narrow]
  .join("")
  .trim();
