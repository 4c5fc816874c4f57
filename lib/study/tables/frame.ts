import type { ColumnTable } from "arquero";
import { InputError } from "../../errors.js";

/** What is used here of a danfojs DataFrame; the object returned is the library's own. */
export interface DataFrame {
  /** Rows and columns. */
  readonly shape: [number, number];
  /** Names of the columns, in the table's order. */
  readonly columns: string[];
  /** Prints the first rows to the console. */
  print(): void;
  /** Count, mean, SD and quartiles of each numeric column, as a frame. */
  describe(): DataFrame;
  /** Everything else that danfojs offers. */
  [method: string]: unknown;
}

type FrameMaker = new (data: object) => object;
type Frames = { DataFrame?: FrameMaker };

/**
 * A table as a danfojs DataFrame, for readers who think in data frames. danfojs-node is not
 * installed with this library: install it beside it. It takes about a second to load and is loaded
 * here, at the first call.
 * @param table any arquero table, such as `study.gripTrials`
 * @returns a promise of the frame
 * @throws InputError when danfojs-node is not installed, or in a browser
 */
export async function toFrame(table: ColumnTable): Promise<DataFrame> {
  const Frame = await frameMaker();
  const columns = table
    .columnNames()
    .map((name) => [name, Array.from(table.array(name) as Iterable<unknown>)]);
  return new Frame(Object.fromEntries(columns)) as DataFrame;
}

async function frameMaker(): Promise<FrameMaker> {
  const loaded: Frames & { default?: Frames } = await import("danfojs-node").catch(absent);
  return loaded.DataFrame ?? loaded.default?.DataFrame ?? absent();
}

function absent(error?: NodeJS.ErrnoException): never {
  if (error && error.code !== "ERR_MODULE_NOT_FOUND" && error.code !== "MODULE_NOT_FOUND")
    throw error;
  throw new InputError({
    expected: "the package danfojs-node beside this library (npm install danfojs-node)",
    got: "no such package",
    where: "toFrame",
  });
}
