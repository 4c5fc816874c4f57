import { itemAt } from "../entry.js";
import { joined, type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { AnalysisDone } from "../show/analysis-done.js";
import { groupName, listWords } from "../show/answer-words.js";
import type { ArmFlow, PeopleFlow, Withdrawal } from "../study/tables/flow.js";
import { inComparison, placeWords } from "./flow-words.js";

function golfers(count: number): string {
  return `${count} ${count === 1 ? "golfer" : "golfers"}`;
}

/** Those who left at one place of the study, with their reasons. */
function withdrawals(losses: readonly Withdrawal[]): Markup {
  const [first] = losses;
  if (!first) return nothing;
  const items = losses.map(({ reason, people }) => markup`<li>${reason}: ${people}</li>`);
  const total = losses.reduce((sum, { people }) => sum + people, 0);
  return markup`<li class="left"><b>${golfers(total)} withdrew</b> ${placeWords(first)}<ul>${items}</ul></li>`;
}

/** An arm visit by visit, every loss between the visits where it happened. */
function armHtml(arm: ArmFlow, compared: string, words: string): Markup {
  const before = (visit: string | undefined) =>
    withdrawals(arm.withdrew.filter((loss) => loss.before === visit));
  const seen = arm.seen.map(
    ({ occasion, people, missed }) =>
      markup`${before(occasion)}<li><span>${occasion}</span> <b>${people}</b> measured${missed > 0 ? `, ${missed} not measured` : ""}</li>`,
  );
  return markup`<div class="arm"><h3>${arm.title}</h3><ol><li class="in"><b>${golfers(arm.enrolled)}</b> enrolled</li>${seen}${before(undefined)}<li class="out"><b>${compared}</b> ${words}</li></ol></div>`;
}

function lostWords({ arms }: PeopleFlow): string {
  const lost = arms.flatMap(({ title, withdrew }) =>
    withdrew.map(
      (loss) => `${loss.people} of the ${groupName(title)} ${placeWords(loss)} (${loss.reason})`,
    ),
  );
  return lost.length > 0 ? `Withdrew: ${lost.join(", ")}.` : "";
}

function visitsWords({ primary }: AnalysisDone): string {
  const visits = primary[0]?.visits;
  if (!visits) return "";
  const titles = [...(visits.before ? [visits.before.title] : []), visits.at.title];
  return ` (${listWords(titles)})`;
}

/** The way of the participants in a line; arm by arm and visit by visit when it is unfolded. */
export function flowHtml(flow: PeopleFlow, done: AnalysisDone): Markup {
  const many = flow.arms.length > 1;
  const { people, words } = inComparison(flow, done);
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
      people.map((count) => markup`<b>${count}</b>`),
      " and ",
    )} ${words}${visitsWords(done)}</span>`,
  ];
  const lost = lostWords(flow);
  const arms = flow.arms.map((arm, i) => armHtml(arm, golfers(itemAt(people, i)), words));
  return markup`<p class="flow-line">${steps}</p>${lost ? markup`<p class="small"><small>${proseHtml(lost)}</small></p>` : ""}<details class="flow"><summary>Flow by visit</summary><div class="arms">${arms}</div></details>`;
}
