import { remember, rememberedRecord } from "./browser-memory.js";

const key = "tautline-questions";

/** Questions whose answer was chosen, with the place of the answer; they stay in the browser. */
type Chosen = Record<string, number>;

/** Exercises that are answered right, by the code that the page is about. */
export type RightExercises = () => ReadonlySet<string>;

/** Writes how many tasks of each lesson are done. */
function write(chosen: Chosen, right: ReadonlySet<string>): void {
  for (const place of document.querySelectorAll<HTMLElement>(".progress")) {
    const tasks = (place.dataset.tasks ?? "").split(" ").filter(Boolean);
    const done = tasks.filter((id) => id in chosen || right.has(id)).length;
    const all = done > 0 && done === tasks.length;
    place.textContent = all ? "✓ done" : `${done} of ${tasks.length}`;
    place.classList.toggle("done", all);
  }
}

/**
 * Keeps which questions were answered, opens those answers again at the next visit, and counts for
 * each lesson what is done.
 * @returns counts anew, for an exercise that was answered
 */
export function offerProgress(right: RightExercises): () => void {
  const chosen = rememberedRecord<number>(key);
  for (const section of document.querySelectorAll<HTMLElement>(".choice[data-question]")) {
    const id = section.dataset.question ?? "";
    const options = [...section.querySelectorAll("details")];
    const earlier = chosen[id] === undefined ? undefined : options[chosen[id]];
    if (earlier) earlier.open = true;
    options.forEach((option, i) => {
      option.addEventListener("toggle", () => {
        if (!option.open) return;
        chosen[id] = i;
        remember(key, JSON.stringify(chosen));
        write(chosen, right());
      });
    });
  }
  write(chosen, right());
  return () => write(chosen, right());
}
