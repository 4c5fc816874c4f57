/** Simulations, exercises, definitions: what lessons have beyond the other pages. */
export const lessonStyle = `
.lesson{max-width:none}
.lesson>.cell,.lesson>.prose,.lesson>.next,.lesson>.for-teachers{max-width:46rem}
.lesson>.cell:has(>.play){max-width:none}
.lesson details.trace,.lesson .ledger details{display:none}
.lesson-row ol{list-style:none;display:flex;flex-wrap:wrap;gap:.35rem .5rem;margin:.2rem 0 1.1rem;padding:0}
.lesson-row a{display:block;height:100%;padding:.2rem .6rem;border:1px solid var(--edge);border-radius:3px;color:var(--ink);text-decoration:none;font-size:.86rem;line-height:1.35}
.lesson-row a:hover{border-color:var(--ink)}
.lesson-row a[aria-current]{border-color:var(--ink);box-shadow:inset 0 -3px var(--ink)}
.lesson-row .progress{display:block}
.progress{color:var(--soft);font-size:.8rem}.progress.done{color:var(--good)}
.play .canvas svg,.opening-picture svg{display:block;max-width:100%;height:auto}
.next{margin-top:2rem}
.for-teachers{margin-top:2.5rem;border-top:1px solid var(--rule);padding-top:.6rem}
.play{margin:1.6rem 0;container-type:inline-size}
.play figure{margin:0;min-width:0}
.play .caption{color:var(--soft);font-size:.92rem;margin:0 0 .4rem}
.play .canvas{min-height:12rem}
.play figure{position:relative}
.handles{position:absolute;inset:0;pointer-events:none}
.handle{position:absolute;width:2.4rem;height:2.4rem;margin:-1.2rem 0 0 -1.2rem;border-radius:50%;cursor:grab;pointer-events:auto;touch-action:none}
.handle:hover{background:color-mix(in srgb,var(--lead) 18%,transparent)}.handle:active{cursor:grabbing}
.handle:focus-visible{outline:3px solid var(--speed);outline-offset:-6px}
.stage .dials details .settings{max-height:15rem;overflow-y:auto}
.js .play .stage{position:sticky;top:0;background:var(--paper);z-index:1;padding-bottom:.3rem;border-bottom:1px solid var(--edge)}
.play .says{margin:.4rem 0;padding:.5rem 1rem;background:var(--panel);border-radius:3px;max-width:none}
.tasks{max-width:46rem;padding-left:1.6rem}.tasks .choice{margin:.4rem 0 1.2rem}.tasks .choice>p:first-child{margin:.2rem 0}
@container (min-width:56rem){
.js .ready .stage{display:grid;grid-template-columns:minmax(0,1fr) 19rem;gap:0 1.6rem;align-items:start}
.stage .says{grid-column:1}.stage .dials{grid-column:2;grid-row:1/3}
.stage .settings{grid-template-columns:minmax(0,1fr)}
}
.play .heard{position:absolute;width:1px;height:1px;margin:0;overflow:hidden;clip-path:inset(50%)}
.dials,.student,.answer,.hand-in{display:none}
.js .hand-in{display:block;max-width:46rem;margin:.5rem 0}.hand-in .hint{color:var(--soft);font-size:.86rem}
.choice{margin:1.2rem 0;max-width:46rem}.choice summary{padding:.35rem .6rem;border:1px solid var(--edge);border-radius:3px;margin:.3rem 0;cursor:pointer}.choice details p{margin:.2rem .6rem .6rem}
.lock{font-weight:600;margin:.1rem 0 .5rem}.locked .settings,.locked .acts{opacity:.45}
.js .locked figure,.js .locked .says,.js .locked .tasks{display:none}
.take-out{display:none}.js .take-out{display:block;margin:.2rem 0 .8rem}
table.grid{font-size:.86rem}table.grid th{white-space:nowrap;color:var(--soft)}table.grid td,table.grid th{padding:.2rem .6rem .2rem 0}
dl.values{display:flex;flex-wrap:wrap;gap:.2rem 1rem;margin:.3rem 0}dl.values>div{display:block;border:0;padding:0;text-align:right}
.steps{margin:.4rem 0}.steps li{margin:.2rem 0}
.js .dials{display:block;border:1px solid var(--edge);padding:.7rem 1rem}
.js .student,.js .answer{display:flex;flex-wrap:wrap;align-items:center;gap:.4rem .7rem}
.js .ready .still,.js .exercise .still{display:none}
.settings{display:grid;grid-template-columns:repeat(auto-fit,minmax(19rem,1fr));gap:.35rem 1.6rem}
.dial{display:grid;grid-template-columns:minmax(0,1fr) auto;align-items:center;gap:0 .7rem;font-size:.9rem}
.dial label{grid-column:1/-1}
.dial input[type=range]{width:100%;height:1.7rem;margin:0;accent-color:var(--lead)}
.dial select{grid-column:1/-1;width:100%}
.dial .unit{color:var(--soft);font-size:.82rem}
input,select{font:inherit;font-size:.9rem;color:var(--ink);background:var(--paper);border:1px solid var(--edge);border-radius:3px;padding:.2rem .4rem}
.exact input{width:4.6rem;text-align:right}
input:focus-visible,select:focus-visible{outline:3px solid var(--speed);outline-offset:2px;border-radius:2px}
input:invalid{border-color:var(--bad)}
.acts{display:flex;flex-wrap:wrap;align-items:center;gap:.5rem;margin-top:.8rem;padding-top:.7rem;border-top:1px solid var(--rule)}
.acts .chance{font-size:.9rem;margin-right:.2rem}.acts .chance input{width:5.6rem;text-align:right}
[data-play][aria-pressed=true]{border-color:var(--lead);color:var(--lead)}
.student{border:1px dashed var(--edge);padding:.5rem 1rem;max-width:46rem}
.student label{font-weight:600}.student .hint{color:var(--soft);font-size:.86rem}
.student [role=status],.answer [role=status]{flex-basis:100%;margin:0}
.student [role=status]:empty,.answer [role=status]:empty{display:none}
.exercise{border-radius:3px;background:var(--panel);padding:.5rem 1rem;margin:1.4rem 0 .3rem;max-width:46rem}
.exercise p{margin:.3rem 0}
.answer [role=status]{border-top:1px solid var(--edge);padding-top:.4rem}
.answer .right{color:var(--good);font-weight:600}.answer .right::before{content:"✓ "}
.terms{max-width:46rem;border:1px solid var(--rule);padding:.2rem 1rem}
.terms dl{display:block}.terms dt,.glossary dt{color:var(--ink);font-weight:600}
.terms dd{margin:0 0 .5rem}.terms dt{margin-top:.5rem}
.glossary>div:target{background:var(--panel);outline:.5rem solid var(--panel)}
.glossary dt small{display:block;font-weight:400}
a.term{color:inherit;text-decoration:underline dotted var(--lead) 2px}
a.term:hover{color:var(--link)}
.lessons{max-width:44rem}.lessons li{margin:.7rem 0}
@media (prefers-reduced-motion:reduce){[data-play=on]{display:none}}
@media (min-width:46.01rem) and (max-width:60rem){.js .stage .settings{grid-template-columns:repeat(auto-fit,minmax(9.5rem,1fr));gap:.25rem 1rem}.js .stage .dials{padding:.4rem .8rem}.js .stage .acts{margin-top:.4rem;padding-top:.4rem}.js .stage .says{font-size:.92rem;padding:.3rem .8rem}.play .stage .canvas{min-height:0}.exact input{width:3.8rem}}
@media (max-width:46rem){
.js .play .stage .settings{display:flex;overflow-x:auto;gap:.9rem;scroll-snap-type:x proximity}
.js .play .stage .dial{flex:0 0 80%;scroll-snap-align:start}
.js .play .stage .acts{flex-wrap:nowrap;overflow-x:auto;margin-top:.2rem;padding-top:.3rem}.js .play .stage .acts>*{flex:none}
.js .play .stage .dials{padding:.25rem .6rem}
.play .stage .canvas{min-height:0}
.js .play .stage .says{max-height:5.6rem;overflow-y:auto;padding:.3rem .6rem;font-size:.86rem}
.lesson-row .name{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.lesson-row a:not([aria-current]) .progress{display:none}
.tasks{padding-left:1.2rem}
}
@media (max-height:30rem){.js .play .stage{position:static}}
.js .play.locked .stage{position:static;display:block}
@media (max-width:30rem){.settings{grid-template-columns:minmax(0,1fr)}.terms,.student,.exercise,.js .dials{padding-left:.7rem;padding-right:.7rem}}
@media print{.js .play .stage{position:static;display:block;border:0}.lesson-row,.next,.for-teachers{display:none}.choice details:not([open]){display:block!important}.js .locked figure,.js .locked .says,.js .locked .tasks{display:block}.js .dials,.js .hand-in,.js .take-out,.js .student,.js .answer,.play .heard,.handles{display:none}.play,.exercise{break-inside:avoid}}
`;
