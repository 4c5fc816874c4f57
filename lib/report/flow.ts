import { joined, type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { ArmFlow, PeopleFlow } from "../study/tables/flow.js";

function golfers(count: number): string {
  return `${count} ${count === 1 ? "golfer" : "golfers"}`;
}

function withdrawals(arm: ArmFlow): Markup {
  if (arm.withdrew.length === 0) return nothing;
  const items = arm.withdrew.map(({ reason, people }) => markup`<li>${reason}: ${people}</li>`);
  const total = arm.withdrew.reduce((sum, { people }) => sum + people, 0);
  return markup`<li class="left"><b>${golfers(total)} withdrew</b><ul>${items}</ul></li>`;
}

function armHtml(arm: ArmFlow): Markup {
  const seen = arm.seen.map(
    ({ occasion, people }) => markup`<li><span>${occasion}</span> <b>${people}</b> measured</li>`,
  );
  return markup`<div class="arm"><h3>${arm.title}</h3><ol><li class="in"><b>${golfers(arm.enrolled)}</b> enrolled</li>${seen}${withdrawals(arm)}<li class="out"><b>${golfers(arm.analysed)}</b> analysed for change</li></ol></div>`;
}

function lostWords({ arms }: PeopleFlow): string {
  const lost = arms.flatMap(({ title, withdrew }) =>
    withdrew.map(({ reason, people }) => `${people} of ${title} (${reason})`),
  );
  return lost.length > 0 ? `Withdrew: ${lost.join(", ")}.` : "";
}

/** The way of the participants in a line; arm by arm and visit by visit when it is unfolded. */
export function flowHtml(flow: PeopleFlow): Markup {
  const many = flow.arms.length > 1;
  const steps = [
    markup`<span><b>${flow.enrolled}</b> enrolled</span>`,
    ...(many
      ? [
          markup`<span>→ ${joined(
            flow.arms.map(({ title, enrolled }) => markup`<b>${enrolled}</b> ${title}`),
            ", ",
          )}</span>`,
        ]
      : []),
    markup`<span>→ ${joined(
      flow.arms.map(({ analysed }) => markup`<b>${analysed}</b>`),
      " and ",
    )} measured at the first and the last visit</span>`,
  ];
  const lost = lostWords(flow);
  return markup`<p class="flow-line">${steps}</p>${lost ? markup`<p class="small"><small>${proseHtml(lost)}</small></p>` : ""}<details class="flow"><summary>Flow by visit</summary><div class="arms">${flow.arms.map(armHtml)}</div></details>`;
}
