import { wholeAt } from "../../entry.js";
import { descriptorName } from "../files.js";
import type { StudyDesign } from "../package/design.js";
import type { IssueLog } from "./issue-log.js";
import type { People } from "./people.js";
import type { Trials } from "./trials.js";

/** Names every visit, position, club, hand and arm of the design that has no trial at all. */
export function checkCompleteness(
  trials: readonly Trials[],
  { people, design }: { people: People; design: StudyDesign },
  log: IssueLog,
): void {
  const measured = trials.filter(({ rows }) => rows.rowCount > 0);
  if (measured.length === 0) return;
  const say = (column: string, value: string) =>
    log.add({ file: descriptorName, column: `study.${column}`, code: "no-trials", value });
  const occasions = new Set(measured.flatMap((one) => [...placesIn(one, one.occasion)]));
  for (const [i, { id }] of design.occasions.entries())
    if (!occasions.has(i)) say("occasions", `the occasion ${id}`);
  for (const one of measured) {
    const { kind, places } = one;
    const found = placesIn(one, one.place);
    for (const [i, place] of places.entries())
      if (!found.has(i)) say(`${kind.placeName}s`, `the ${kind.placeName} ${place}`);
    if (!kind.handed) continue;
    const hands = placesIn(one, one.hand);
    for (const hand of design.hands)
      if (!hands.has(hand === "lead" ? 0 : 1)) say("hands", `the ${hand} hand`);
  }
  const golfers = new Set(measured.flatMap((one) => [...placesIn(one, one.person)]));
  for (const { id } of design.arms)
    if (!people.arms.some((arm, person) => arm === id && golfers.has(person)))
      say("arms", `the arm ${id}`);
}

/** The places that the rows of a file have, whether or not a row can be used. */
function placesIn({ rows }: Trials, places: Int32Array): Set<number> {
  const found = new Set<number>();
  let above = Number.NaN;
  for (let i = 0; i < rows.rowCount; i++) {
    const place = wholeAt(places, i);
    if (place === above) continue;
    above = place;
    found.add(place);
  }
  return found;
}
