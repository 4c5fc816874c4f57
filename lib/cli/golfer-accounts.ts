import type { GolferAccount } from "../report/golfer-account.js";
import type { Study } from "../study/study.js";
import { golferResults } from "../study/tables/golfer.js";

/** Every participant's own results; by code, never by name. */
export function golferAccounts(study: Study): GolferAccount[] {
  const occasions = [...study.design.occasions].sort((a, b) => a.week - b.week);
  const visits = occasions.map(({ title }) => title);
  const { title, simulated, cautions } = study;
  return golferResults(study).map((golfer) => ({
    ...golfer,
    study: title,
    simulated,
    visits,
    cautions,
  }));
}
