import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { cordLine } from "../../lib/report/cord.js";
import { colours, markPath, type Role } from "../../lib/show/look.js";
import { pictureSvg } from "../../lib/show/picture-svg.js";

const roles = ["lead", "trail", "speed", "trained", "tick"] as const satisfies readonly Role[];

describe("the house look", () => {
  it("gives every role a shape of its own", () => {
    expect(markPath("speed", 10, 20, 3)).toBe("M10 20m-3 -3h6v6h-6z");
    expect(markPath("lead", 10, 20, 3)).toBe("M10 20m-3 0a3 3 0 1 0 6 0a3 3 0 1 0 -6 0");
    expect(markPath("trail", 10, 20, 10)).toBe("M10 20m0 -13l13 13 -13 13 -13 -13z");
    expect(markPath("trained", 10, 20, 10)).toBe("M10 20m-11 8h22l-11 -19z");
    expect(markPath("control", 10, 20, 10)).toBe(markPath("trained", 10, 20, 10));
    expect(markPath("tick", 10, 20, 10)).toBe("M10 20m0 -13v26");
    expect(new Set(roles.map((role) => markPath(role, 0, 0, 4))).size).toBe(roles.length);
  });

  it("draws a mark with one outline in cords and in pictures", () => {
    for (const role of ["lead", "trail", "speed"] as const) {
      expect(String(cordLine({ low: 2, value: 12, high: 22 }, 9, true, role))).toContain(
        `class="mark ${role}"><path d="${markPath(role, 12, 9, 4.5)}"/>`,
      );
      const axis = { title: "", low: 0, high: 1 };
      const dots = { kind: "dots", tone: role, x: [0], y: [1], radius: 5 } as const;
      const panel = { title: "", x: axis, y: axis, layers: [dots] };
      const drawn = pictureSvg({ height: 200, panels: [panel] }, "A mark.");
      expect(drawn).toContain(markPath(role, 0, 0, 5));
    }
  });

  it("is the one place that spells a colour of the palette", () => {
    const palette = new RegExp(Object.values(colours).join("|"), "i");
    const spelt = ["cli", "learn", "report", "show"].flatMap((folder) =>
      readdirSync(`lib/${folder}`, { recursive: true, encoding: "utf8" })
        .filter((path) => path.endsWith(".ts"))
        .map((path) => join("lib", folder, path))
        .filter((path) => palette.test(readFileSync(path, "utf8"))),
    );
    expect(spelt).toEqual([join("lib", "show", "look.ts")]);
  });
});
