import { escapeHtml } from "../show/markup.js";
import type { ArmFlow, PeopleFlow } from "./study-account.js";

function people(count: number): string {
  return `${count} ${count === 1 ? "person" : "people"}`;
}

function withdrawals(arm: ArmFlow): string {
  if (arm.withdrew.length === 0) return "";
  const items = arm.withdrew.map(
    ({ reason, people }) => `<li>${escapeHtml(reason)}: ${people}</li>`,
  );
  const total = arm.withdrew.reduce((sum, { people }) => sum + people, 0);
  return `<li class="left"><b>${people(total)} withdrew</b><ul>${items.join("")}</ul></li>`;
}

function armHtml(arm: ArmFlow): string {
  const seen = arm.seen.map(
    ({ occasion, people: count }) =>
      `<li><span>${escapeHtml(occasion)}</span> <b>${count}</b> measured</li>`,
  );
  return `<div class="arm"><h3>${escapeHtml(arm.title)}</h3><ol><li class="in"><b>${people(arm.enrolled)}</b> enrolled</li>${seen.join("")}${withdrawals(arm)}<li class="out"><b>${people(arm.analysed)}</b> analysed for change</li></ol></div>`;
}

/** The way of the participants from enrolment to analysis, arm beside arm. */
export function flowHtml(flow: PeopleFlow): string {
  return `<div class="flow"><p class="enrolled"><b>${people(flow.enrolled)}</b> enrolled</p><div class="arms">${flow.arms.map(armHtml).join("")}</div></div>`;
}
