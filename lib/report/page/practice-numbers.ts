import { csvLines } from "../../csv-writing.js";
import { present } from "../../entry.js";
import type { Practice, PracticeSet } from "../../show/lesson-outputs.js";
import { heading } from "../../show/table.js";
import type { Desk } from "./lesson-desk.js";

type Rows = readonly (readonly (string | number)[])[];

/** The golfers' rows as they are, then the list of numbers that belongs to them. */
function rowsOf({ table, grid }: Practice): {
  readonly head: readonly string[];
  readonly rows: Rows;
} {
  const head = table.columns.map(heading);
  const rows = table.rows.map((row) =>
    table.columns.map(({ name }) => row[name] as string | number),
  );
  if (!grid) return { head, rows };
  const gap = head.map(() => "");
  const listed = grid.values.map((value, i) => [i + 1, Number(value.toFixed(grid.digits))]);
  return { head, rows: [...rows, gap, [grid.caption, ""], ...listed] };
}

/** Names a file after what it holds. */
function fileName({ set, learner }: Practice): string {
  return `${set}-${learner.replace(/[^\p{L}\p{N}]+/gu, "-")}.csv`;
}

function save(name: string, text: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob(["\ufeff", text], { type: "text/csv" }));
  link.download = name;
  link.click();
}

/** Lets a reader take the golfers' numbers to a spreadsheet: copied with tabs, or as a file. */
export function offerNumbers(desk: Desk, code: () => string): void {
  for (const place of document.querySelectorAll<HTMLElement>(".take-out")) {
    const status = present(place.querySelector("[role=status]"));
    const set = place.dataset.set as PracticeSet;
    const take = async (copied: boolean) => {
      try {
        const golfers = await desk({ ask: "practice", set, code: code() });
        const { head, rows } = rowsOf(golfers);
        if (copied) {
          const lines = [head, ...rows].map((row) => row.join("\t"));
          await navigator.clipboard.writeText(lines.join("\n"));
          status.textContent = "Copied. Paste into a spreadsheet.";
        } else {
          save(fileName(golfers), csvLines(head, rows));
          status.textContent = "The file is in your downloads.";
        }
      } catch {
        status.textContent = "This browser does not allow it. Select the table instead.";
      }
    };
    for (const button of place.querySelectorAll<HTMLElement>("[data-take]")) {
      button.addEventListener("click", () => void take(button.dataset.take === "copy"));
    }
  }
}
