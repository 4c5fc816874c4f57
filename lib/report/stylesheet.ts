import { colours } from "../show/look.js";
import { lessonStyle } from "./lesson-style.js";

/** The palette as custom properties, as paper shows it. */
export const light = `--paper:${colours.paper};--panel:#f4f1e8;--ink:${colours.ink};--soft:${colours.soft};--lead:${colours.lead};--trail:${colours.trail};--speed:${colours.speed};--control:${colours.control};--rule:${colours.rule};--edge:#cfc9ba;--good:#0b5f5a;--bad:#97391b;--link:#0a5f5b;`;
const dark = `--paper:#14191f;--panel:#1c232b;--ink:#ece7db;--soft:#aab2bb;--lead:#5bc0b7;--trail:#e8956c;--speed:#9fa9f4;--control:#9aa6b3;--rule:#2b343d;--edge:#3d4752;--good:#77cfc6;--bad:#f0a582;--link:#74ccc3;`;

/** The text face and what stands for it where it cannot be had. */
export const sans = `"Source Sans 3","Noto Sans","DejaVu Sans",sans-serif`;
const serif = `"Source Serif 4","Noto Serif","DejaVu Serif",serif`;

const base = `
:root{color-scheme:light;${light}}
:root[data-theme=dark]{color-scheme:dark;${dark}}
@media (prefers-color-scheme:dark){:root:not([data-theme=light]){color-scheme:dark;${dark}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:1.0625rem/1.5 ${sans};font-variant-numeric:tabular-nums lining-nums}
h1,h2,h3,h4,.brand{font-family:${serif};font-weight:600;line-height:1.22;text-wrap:balance}
h1{font-size:clamp(1.5rem,4.2vw,2rem);margin:.15rem 0 .7rem;max-width:26em}
h2{font-size:1.3rem;margin:2.1rem 0 .5rem}
h3{font-size:1.1rem;margin:1.6rem 0 .4rem}
p,ul,ol,dl{margin:.6rem 0}
p,.prose li,figcaption{max-width:66ch}
a{color:var(--link);text-underline-offset:.18em;text-decoration-thickness:1px}
a:focus-visible,button:focus-visible,summary:focus-visible,[tabindex]:focus-visible{outline:3px solid var(--speed);outline-offset:2px;border-radius:2px}
small,.small{font-size:.86rem;color:var(--soft)}
code,pre{font:.84rem/1.5 ui-monospace,Menlo,Consolas,"DejaVu Sans Mono",monospace}
code{overflow-wrap:anywhere}
pre{overflow:auto;background:var(--panel);padding:.8rem 1rem;margin:.6rem 0;border-radius:3px}
pre code{overflow-wrap:normal}
pre.error{outline:2px solid var(--bad)}
button{font:inherit;font-size:.92rem;color:var(--ink);background:none;border:1px solid var(--edge);border-radius:3px;padding:.28rem .7rem;cursor:pointer}
button:hover{border-color:var(--ink)}
button[disabled]{opacity:.6;cursor:default}
[hidden]{display:none!important}
`;

const frame = `
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:.5rem;background:var(--paper);padding:.4rem .8rem;z-index:2}
.top{border-bottom:1px solid var(--edge)}
.top>div,main,.foot>div{max-width:73rem;margin:0 auto;padding:0 1.5rem}
.top>div{display:flex;flex-wrap:wrap;align-items:center;gap:.3rem 1.6rem;padding-top:.6rem;padding-bottom:.6rem}
.brand{font-size:1.15rem;color:var(--ink);text-decoration:none;display:flex;align-items:center;gap:.6rem}
.brand svg{width:2.1rem;height:1.25rem}
.brand path{stroke:var(--ink);stroke-width:2;fill:none}
.top nav{margin-left:auto;display:flex;flex-wrap:wrap;align-items:center;gap:.2rem 1.4rem}
.menu{display:flex;flex-wrap:wrap;gap:.1rem 1.4rem;list-style:none;margin:0;padding:0}
.menu a{color:var(--soft);text-decoration:none;display:inline-block;padding:.2rem 0;border-bottom:2px solid transparent}
.menu a:hover{color:var(--ink);border-color:var(--edge)}
.menu a[aria-current]{color:var(--ink);border-color:var(--ink)}
.menu-button{display:none;margin-left:auto}
main{padding-top:1.3rem;padding-bottom:3rem;min-height:60vh}
.eyebrow{color:var(--soft);margin:0;max-width:none}.eyebrow a{color:inherit}
.two-columns{display:grid;grid-template-columns:minmax(0,50rem) minmax(0,1fr);column-gap:3rem;align-items:start}
.body{min-width:0}
.side{font-size:.95rem;position:sticky;top:1.2rem;max-height:calc(100vh - 2.4rem);overflow-y:auto;padding:.2rem}
.side h2{font:600 .95rem/1.3 ${sans};margin:1.1rem 0 .25rem}
.side ul{list-style:none;margin:0;padding:0}.side li{margin:.22rem 0}
.side nav a{color:var(--ink);text-decoration-color:var(--edge)}
.side p{margin:.35rem 0}
.about{color:var(--soft);font-size:.86rem;overflow-wrap:anywhere;margin-top:1.1rem}
.foot{border-top:1px solid var(--rule);color:var(--soft);font-size:.86rem}
.foot>div{padding-top:.8rem;padding-bottom:1.6rem}
.js details.code,.js details.returned,.js .only-code,.js li:has(>.only-code){display:none}.js .with-code .only-code{display:block}.js .with-code li:has(>.only-code){display:list-item}.js .with-code details.code,.js .with-code details.returned{display:block}
.scripted{display:none}.js .scripted{display:block}
html:not(.js) [data-act=theme]{display:none}
article+article{border-top:1px solid var(--edge);margin-top:3rem;padding-top:1.5rem}
`;

const record = `
.wide{overflow-x:auto;margin:1rem 0;max-width:100%}
table{border-collapse:collapse;font-size:.95rem}
.wide table,.result table{display:table;caption-side:bottom}
caption{caption-side:bottom;text-align:left;font-weight:400;padding:.45rem 0 .2rem;color:var(--soft);font-size:.92rem;max-width:66ch}
th,td{text-align:left;vertical-align:top;padding:.4rem 1rem .4rem 0;border-top:1px solid var(--rule);font-weight:400}
thead th{font-size:.86rem;color:var(--soft);border-top:0;vertical-align:bottom}
td.number,th.number{text-align:right}td.day{white-space:nowrap}
table small{display:block}
.ledger,.conclusions{width:100%;table-layout:fixed}
.ledger th:nth-child(1),.conclusions th:nth-child(1){width:auto}
.ledger thead th:nth-child(2),.conclusions thead th:nth-child(2){width:9.2rem}
.ledger thead th:nth-child(3){width:12.5rem}.conclusions thead th:nth-child(3){width:12rem}.conclusions thead th:nth-child(4){width:6.4rem}
.ledger tbody th,.conclusions tbody th{overflow-wrap:anywhere}
.conclusions a,.ledger th a{color:inherit;text-decoration-color:var(--edge)}
.conclusions td,.conclusions tbody th,.ledger td{vertical-align:middle}
.ledger td:last-child,.conclusions td:last-child,.ledger th:last-child{padding-right:0}
.ledger .axis td{border-top:0;padding-top:0;padding-bottom:.7rem}
.axis .picture small{text-align:center;margin-top:-.2rem}
.estimate b{font-size:1.06rem;font-weight:600}
.estimate .limits{white-space:nowrap;color:var(--soft);margin-left:.25em}
td.estimate .limits{display:block;margin:0}
.ledger .title{display:block}.ledger tbody th>small{display:inline}.ledger .trace:not([open]){display:inline-block;margin:0 0 0 .7rem}.ledger .trace:not([open])>summary{font-size:.86rem}
.ledger .leave-one-out.leave-one-out,.leave-one-out{display:block;color:var(--bad)}
.conclusions .supported .support,.conclusions .contradicted .support{font-weight:600}
.conclusions .not-settled .support{color:var(--soft)}
.cord,.axis-line{display:block;width:100%;max-width:13.75rem;height:auto;overflow:visible}
.cord path{fill:none}
.cord .zero{stroke:var(--soft);stroke-width:1}
.cord .reference{stroke:var(--soft);stroke-width:1.2;stroke-dasharray:3 2.5}
.cord .line{stroke:var(--ink);stroke-width:2.2}.cord .limit{stroke:var(--ink);stroke-width:1.5}
.cord .tick{stroke:var(--ink);stroke-width:3}
.cord .mark *{stroke-width:1.8}
.mark.lead path{fill:var(--lead);stroke:var(--lead)}.mark.trail path{fill:var(--paper);stroke:var(--trail)}
.mark.speed path{fill:var(--speed);stroke:var(--speed)}.mark.control path{fill:var(--paper);stroke:var(--control)}.mark.trained path,.mark.dot path{fill:var(--ink);stroke:var(--ink)}.mark.ring path{fill:var(--paper);stroke:var(--ink)}.mark.tick path{stroke:var(--ink)}
.axis-line path{stroke:var(--soft);fill:none}.axis-line text{font-size:12.5px;fill:var(--soft);text-anchor:middle}
.badge{display:inline-block;font-size:.82rem;line-height:1.3;color:var(--soft)}
.badge.good{color:var(--good)}.badge.bad{color:var(--bad);font-weight:600}.badge.ask{color:var(--speed)}
.badge.good::before{content:"✓ "}.badge.bad::before{content:"! "}
.items tr.missing td:nth-child(2){color:var(--soft)}
.finding{margin:1.3rem 0;display:grid;grid-template-columns:minmax(0,1fr) 13.75rem;gap:0 1.5rem;align-items:center}
.finding>*{grid-column:1/-1}
.finding>.title{margin:0;max-width:none}
.finding>.estimate{grid-column:1;margin:0;font-size:1.15rem}.finding>.estimate b{font-size:1.5rem}
.finding>.solo{grid-column:2;grid-row:2/4;align-self:start}
.finding>.small{grid-column:1;margin:.1rem 0}
.finding>.trace{margin:.1rem 0}
.finding:target,.plot:target,.cell:target,tr:target{background:var(--panel);outline:.4rem solid var(--panel)}
.key{display:flex;flex-wrap:wrap;gap:.1rem 1.3rem;font-size:.86rem;color:var(--soft);margin:.5rem 0;padding:0;list-style:none;max-width:none}
.key .cord{display:inline-block;width:auto;vertical-align:-.5rem}
details{margin:.4rem 0}
summary{cursor:pointer;color:var(--soft);font-size:.92rem;width:fit-content}
summary:hover{color:var(--ink)}
details[open]>summary{margin-bottom:.35rem}
dl{display:grid;gap:.3rem;font-size:.92rem;max-width:48rem}
dl>div{display:grid;grid-template-columns:11rem 1fr;gap:1rem;border-bottom:1px solid var(--rule);padding-bottom:.25rem}
dt{color:var(--soft)}dd{margin:0;overflow-wrap:anywhere}dd ul{margin:0;padding-left:1.1rem}
`;

const figures = `
.plot{margin:1.2rem 0}
.canvas{background:var(--paper);position:relative}
.drawing svg,.drawing img{display:block;max-width:100%;height:auto}
.narrow-drawing{display:none}
.canvas text,.opening-picture text{white-space:pre;font-family:${sans}!important}
p,figcaption,caption,li,.title{text-wrap:pretty}
figcaption{font-size:.92rem;color:var(--soft);margin-top:.3rem}
figcaption .download{white-space:nowrap}
.numbers table{font-size:.86rem}
.prose blockquote{margin:.8rem 0;padding-left:1rem;color:var(--soft)}
img.result{max-width:100%}
.moved{color:var(--soft);font-size:.92rem}
`;

const overview = `
.key-answer{font-size:1.22rem;line-height:1.42;max-width:36em;margin:0 0 .55rem}
.state{color:var(--soft);font-size:.94rem;margin:.3rem 0}.state b{color:var(--ink);font-weight:600}.state b.bad{color:var(--bad)}
.entry{border-top:1px solid var(--rule);padding:1.1rem 0 .6rem;max-width:52rem}.entry:first-of-type{border-top:0}
.entry h2{margin:.1rem 0 .5rem;font-size:1.45rem}.entry h2 a{color:var(--ink);text-decoration-color:var(--edge)}
.questions{list-style:none;padding:0;max-width:none}
.questions li{display:grid;grid-template-columns:17rem minmax(0,1fr);gap:.2rem 1rem;align-items:center;padding:.4rem 0;border-top:1px solid var(--rule)}
.cautions{border-left:3px solid var(--trail);padding:.1rem 0 .1rem 1rem;margin:2rem 0 0;max-width:66ch;font-size:.95rem}
.cautions h2{font:600 1rem/1.3 ${sans};margin:.2rem 0}
.cautions ul{margin:.2rem 0;padding-left:1.1rem}
.question-fold{border-top:1px solid var(--rule);margin:0}
.question-fold>summary{width:auto;color:var(--ink);font-size:1rem;display:grid;grid-template-columns:15rem minmax(0,1fr);gap:1rem;align-items:center;padding:.45rem 0;list-style:none}
.question-fold>summary::-webkit-details-marker{display:none}
.q{font-weight:600}.q::before{content:"+ ";color:var(--soft)}details[open]>summary>.q::before{content:"− "}
.part>summary h2{margin:0;font-size:1.12rem}.part[open]{padding-bottom:1rem}.part[open]>summary>:not(h2){display:none}.part[open]>summary{grid-template-columns:minmax(0,1fr)}
.key-number{display:grid;grid-template-columns:minmax(0,1fr) 9.4rem;gap:1rem;align-items:center}
.key-number .words{font-size:.95rem}.key-number .words:only-child{grid-column:1/-1}.key-number .limits{display:inline-block}
.flow-line{display:flex;flex-wrap:wrap;gap:.1rem .8rem;align-items:baseline;max-width:none;margin:.3rem 0}.flow-line b{font-size:1.12rem;font-weight:600}
.arms{display:grid;grid-template-columns:repeat(auto-fit,minmax(14rem,1fr));gap:1.2rem;margin-top:.6rem}
.arm h3{font-size:1rem;margin:0 0 .3rem}
.arm ol{list-style:none;margin:0;padding:0}
.arm li{padding:.2rem 0}
.arm .left{color:var(--bad)}.arm .left ul{margin:0;padding-left:1.1rem;list-style:disc;color:var(--ink);font-size:.9rem}
.recompute [role=status]:not(:empty){background:var(--panel);padding:.5rem .9rem;border-radius:3px;max-width:none}
.recompute.good [role=status]::before{content:"✓ ";color:var(--good)}.recompute.bad [role=status]::before{content:"! ";color:var(--bad)}
tr.off th,tr.off td{color:var(--bad)}
.parts details{margin:0}.parts summary{font-size:1em}
.parts{display:flex;flex-wrap:wrap;align-items:baseline;gap:.2rem 1.2rem;list-style:none;padding:0;margin:.2rem 0 1rem;font-size:.95rem}
`;

const narrow = `
@media screen and (max-width:62rem){
.two-columns{display:block}
.side{position:static;max-height:none;margin-top:2rem;border-top:1px solid var(--rule);padding-top:1rem}
}
@media screen and (max-width:46rem){
body{font-size:1rem}
.top>div,main,.foot>div{padding-left:1rem;padding-right:1rem}
.js .menu-button{display:block}
.top nav{flex-basis:100%;margin:0}
.js .top nav{display:none}.js .top nav.open{display:flex}
.js .menu{flex-direction:column;flex-basis:100%}
.js .menu a{padding:.45rem 0;display:block}
.key-answer{font-size:1.1rem}
.wide-drawing{display:none}.narrow-drawing{display:block}
.live .wide-drawing,.live .narrow-drawing{display:none}
.finding{display:block}
.ledger,.ledger tbody,.conclusions,.conclusions tbody{display:block}
.ledger thead,.conclusions thead{position:absolute;left:-99rem}
.ledger tr,.conclusions tr{display:grid;grid-template-columns:minmax(0,1fr) 8.5rem;gap:.1rem .8rem;border-top:1px solid var(--rule);padding:.5rem 0;align-items:center}
.ledger td,.ledger th,.conclusions td,.conclusions th{border:0;padding:0}
.ledger tbody th,.conclusions tbody th{grid-column:1/3}
.conclusions td.picture{grid-column:2;grid-row:2/4}.conclusions .support{grid-column:1}
.ledger .axis{padding:0 0 .4rem;border:0}.ledger .axis td:first-child{display:block}
.question-fold>summary{grid-template-columns:minmax(0,1fr);gap:.1rem}
.key-number{grid-template-columns:minmax(0,1fr) 8.5rem;gap:.8rem}
.questions li{grid-template-columns:minmax(0,1fr)}
dl>div{grid-template-columns:1fr;gap:0}
.axis-line text{font-size:18px}.solo .axis-line text{font-size:11.5px}
}
@media print{
:root:root:root{color-scheme:light;${light}--paper:#fff}
@page{size:A4;margin:15mm 15mm}
html{font-size:12.5px}
.top nav,.side,button,.skip,.download,.scripted,.foot,.recompute,details.state,.menu-button{display:none!important}
main,.top>div{max-width:none;padding-left:0;padding-right:0}
main{padding-top:.5rem}
.two-columns{display:block}
h1{font-size:1.6rem}
.plot,.finding,.claim,tr,.arm{break-inside:avoid}
h2,h3{break-after:avoid}
.wide{overflow:visible}
.wide-drawing{display:block!important}.narrow-drawing{display:none!important}
.plot .drawing svg{max-height:235mm;width:auto}
details:not([open]):not(.question-fold,.further){display:none}
.q::before{content:none!important}
a{color:inherit;text-decoration:none}
}
`;

/** The site's whole stylesheet: one theme in light and dark, narrow screens, print. */
export const stylesheet = [base, frame, record, figures, overview, lessonStyle, narrow]
  .join("")
  .trim();
