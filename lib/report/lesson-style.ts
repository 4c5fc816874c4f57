/** Simulations, exercises, definitions: what lessons have beyond the other pages. */
export const lessonStyle = `
.play{margin:1.6rem 0;max-width:46rem}
.play figure{margin:0}
.play .canvas{min-height:12rem}
.js .play .canvas{position:sticky;top:0;background:var(--paper);z-index:1}
.play .says{margin:.4rem 0 .9rem;padding:.5rem 1rem;background:var(--panel);border-radius:3px;max-width:46rem}
.play .heard{position:absolute;width:1px;height:1px;margin:0;overflow:hidden;clip-path:inset(50%)}
.dials,.student,.answer,.hand-in{display:none}
.js .hand-in{display:block;max-width:46rem;margin:.5rem 0}.hand-in .hint{color:var(--soft);font-size:.86rem}
.choice{margin:1.2rem 0;max-width:46rem}.choice summary{padding:.35rem .6rem;border:1px solid var(--edge);border-radius:3px;margin:.3rem 0;cursor:pointer}.choice details p{margin:.2rem .6rem .6rem}
.lock{font-weight:600}
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
.worked{margin:.2rem 0 1.4rem}
.terms{max-width:46rem;border:1px solid var(--rule);padding:.2rem 1rem}
.terms dl{display:block}.terms dt,.glossary dt{color:var(--ink);font-weight:600}
.terms dd{margin:0 0 .5rem}.terms dt{margin-top:.5rem}
.glossary>div:target{background:var(--panel);outline:.5rem solid var(--panel)}
.glossary dt small{display:block;font-weight:400}
a.term{color:inherit;text-decoration:underline dotted var(--lead) 2px}
a.term:hover{color:var(--link)}
.lessons{max-width:44rem}.lessons li{margin:.7rem 0}
@media (prefers-reduced-motion:reduce){[data-play=on]{display:none}}
@media (max-width:30rem){.settings{grid-template-columns:minmax(0,1fr)}.terms,.student,.exercise,.js .dials{padding-left:.7rem;padding-right:.7rem}}
@media print{.js .dials,.js .hand-in,.js .student,.js .answer,.play .heard{display:none}.play,.exercise{break-inside:avoid}}
`;
