import type { ColumnTable } from "arquero";
import { present } from "../../entry.js";

/** What is used here of a danfojs DataFrame; the object returned is the library's own. */
export interface DataFrame {
  readonly shape: [number, number];
  readonly columns: string[];
  print(): void;
  describe(): DataFrame;
  [method: string]: unknown;
}

/**
 * A table as a danfojs DataFrame, for those who think in data frames. The library takes a second to
 * load and is loaded here, when it is first asked for.
 * @param table any arquero table, such as `study.gripTrials`
 * @returns a promise of the frame
 */
export async function toFrame(table: ColumnTable): Promise<DataFrame> {
  const danfo = (await import("danfojs-node")) as unknown as {
    DataFrame?: new (data: object) => DataFrame;
    default?: { DataFrame: new (data: object) => DataFrame };
  };
  const Frame = danfo.DataFrame ?? present(danfo.default).DataFrame;
  const columns = table
    .columnNames()
    .map((name) => [name, Array.from(table.array(name) as Iterable<unknown>)]);
  return new Frame(Object.fromEntries(columns));
}
