import { describe, expect, it } from "vitest";
import { simulation } from "../../lib/learn/simulation.js";
import { playSqueeze } from "../../lib/learn/squeeze-model.js";
import { type DisplayBundle, onDisplay } from "../../lib/show/display.js";

function shown(run: () => void): DisplayBundle[] {
  const bundles: DisplayBundle[] = [];
  const restore = onDisplay((bundle) => bundles.push(bundle));
  run();
  restore();
  return bundles;
}

describe("simulation", () => {
  const input = { id: "squads", caption: "Squads tested twice.", ...playSqueeze({}, { seed: 4 }) };

  it("shows its record, the first state without script, and the sentence", () => {
    const [bundle, ...more] = shown(() => simulation(input));
    expect(more).toEqual([]);
    const { data } = bundle!;
    expect(data["text/plain"]).toBe(input.sentence);
    const record = data["application/vnd.tautline.simulation+json"] as object;
    expect(record).toMatchObject({ kind: "simulation", id: "squads", model: "squeeze", seed: 4 });
    const html = String(data["text/html"]);
    expect(html).not.toContain("<script");
    expect(html).toContain(`alt="${input.alt}"`);
    expect(html).toContain("Golfers in a squad: 12");
    const svg = decodeURIComponent(/src="data:image\/svg\+xml,([^"]*)"/.exec(html)![1]!);
    expect(svg).toMatch(/^<svg [^>]*aria-label="Columns of dots/);
  });

  it("returns a frozen record that survives JSON", () => {
    const record = simulation(input);
    expect(Object.isFrozen(record.picture.panels[0])).toBe(true);
    expect(JSON.parse(JSON.stringify(record))).toEqual(record);
  });

  it("needs a caption and a model", () => {
    expect(() => simulation({ ...input, caption: "squads" })).toThrow("a sentence");
    expect(() => simulation({ id: "s", caption: "Squads." } as never)).toThrow(
      "what a model returned",
    );
  });
});
