import { tableView } from "./table-view.js";

/** The forms of a value that a cell ends with, by media type; undefined when it is not its kind. */
export type ValueView = (value: unknown) => Record<string, string> | undefined;

const views: ValueView[] = [tableView];

/** Adds a way to show what a cell ends with; the first that knows a value shows it. */
export function addValueView(view: ValueView): void {
  if (!views.includes(view)) views.push(view);
}

/** A value that a cell ends with, in the forms in which it is shown; undefined for plain printing. */
export function lastValueView(value: unknown): Record<string, string> | undefined {
  for (const view of views) {
    const shown = view(value);
    if (shown) return shown;
  }
  return undefined;
}
