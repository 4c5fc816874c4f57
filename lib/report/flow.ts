import { type Markup, markup, nothing } from "../markup.js";
import type { ArmFlow, PeopleFlow } from "../study/tables/flow.js";

function people(count: number): string {
  return `${count} ${count === 1 ? "person" : "people"}`;
}

function withdrawals(arm: ArmFlow): Markup {
  if (arm.withdrew.length === 0) return nothing;
  const items = arm.withdrew.map(({ reason, people }) => markup`<li>${reason}: ${people}</li>`);
  const total = arm.withdrew.reduce((sum, { people }) => sum + people, 0);
  return markup`<li class="left"><b>${people(total)} withdrew</b><ul>${items}</ul></li>`;
}

function armHtml(arm: ArmFlow): Markup {
  const seen = arm.seen.map(
    ({ occasion, people: count }) =>
      markup`<li><span>${occasion}</span> <b>${count}</b> measured</li>`,
  );
  return markup`<div class="arm"><h3>${arm.title}</h3><ol><li class="in"><b>${people(arm.enrolled)}</b> enrolled</li>${seen}${withdrawals(arm)}<li class="out"><b>${people(arm.analysed)}</b> analysed for change</li></ol></div>`;
}

/** The way of the participants from enrolment to analysis, arm beside arm. */
export function flowHtml(flow: PeopleFlow): Markup {
  return markup`<div class="flow"><p class="enrolled"><b>${people(flow.enrolled)}</b> enrolled</p><div class="arms">${flow.arms.map(armHtml)}</div></div>`;
}
