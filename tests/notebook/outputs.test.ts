import { homedir } from "node:os";
import { afterEach, describe, expect, it, vi } from "vitest";
import { withoutMachine } from "../../lib/notebook/outputs.js";

vi.mock("node:os", async (load) => {
  const os = await load<typeof import("node:os")>();
  return { ...os, homedir: vi.fn(os.homedir) };
});

const home = (folder: string) => vi.mocked(homedir).mockReturnValue(folder);
const said = "44.7 m/s in /srv/a.b/data/x.csv, /srv/a.b, /home/kim/x and /home/kimberley/y";

describe("what a record keeps of paths", () => {
  afterEach(() => vi.mocked(homedir).mockReset());

  it("leaves out the folder of the study and the home of the person", () => {
    home("/home/kim");
    expect(withoutMachine(said, "/srv/a.b")).toBe(
      "44.7 m/s in data/x.csv, ., ~/x and /home/kimberley/y",
    );
  });

  it.each(["/", ""])("changes no word where the home is %j, as in a container", (folder) => {
    home(folder);
    expect(withoutMachine(said, folder)).toBe(said);
  });
});
