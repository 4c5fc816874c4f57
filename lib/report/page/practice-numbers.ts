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

/** Puts a text on the clipboard; pages that were opened as files may use the older way only. */
async function copied(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    const field = document.createElement("textarea");
    field.value = text;
    field.style.position = "fixed";
    document.body.append(field);
    field.select();
    const done = document.execCommand("copy");
    field.remove();
    return done;
  }
}

/** Lets a reader take the golfers' numbers to a spreadsheet: copied with tabs, or as a file. */
export function offerNumbers(desk: Desk, code: () => string): void {
  for (const place of document.querySelectorAll<HTMLElement>(".take-out")) {
    const status = present(place.querySelector("[role=status]"));
    const set = place.dataset.set as PracticeSet;
    const refused = "This browser does not allow it. Select the table instead.";
    const take = async (button: HTMLElement) => {
      try {
        const golfers = await desk({ ask: "practice", set, code: code() });
        const { head, rows } = rowsOf(golfers);
        if (button.dataset.take === "copy") {
          const lines = [head, ...rows].map((row) => row.join("\t"));
          const done = await copied(lines.join("\n"));
          status.textContent = done ? "Copied. Paste into a spreadsheet." : refused;
          button.focus();
        } else {
          save(fileName(golfers), csvLines(head, rows));
          status.textContent = "The file is in your downloads.";
        }
      } catch {
        status.textContent = refused;
      }
    };
    for (const button of place.querySelectorAll<HTMLElement>("[data-take]")) {
      button.addEventListener("click", () => void take(button));
    }
  }
}
