import { itemAt } from "../../entry.js";
import type { NumberControl, Settings, Simulation } from "../../show/lesson-outputs.js";
import type { DotsLayer, Panel, Picture, PointHandle } from "../../show/picture.js";

/** Sets several values of the simulation at once. */
type Move = (settings: Settings) => void;

interface Placed {
  readonly handle: PointHandle;
  readonly panel: Panel;
  readonly panelAt: number;
  readonly x: number;
  readonly y: number;
}

const steps: Readonly<Record<string, readonly [axis: "x" | "y", sign: number]>> = {
  ArrowLeft: ["x", -1],
  ArrowRight: ["x", 1],
  ArrowDown: ["y", -1],
  ArrowUp: ["y", 1],
};

function placedIn({ panels }: Picture): Placed[] {
  return panels.flatMap((panel, panelAt) =>
    panel.layers
      .filter((layer): layer is DotsLayer => layer.kind === "dots")
      .flatMap(({ handles = [], x, y }) =>
        handles.map((handle, i) => ({ handle, panel, panelAt, x: itemAt(x, i), y: itemAt(y, i) })),
      ),
  );
}

/**
 * Points of a drawing that a reader moves: by mouse or finger, and by the arrow keys. Each lies over
 * its dot and outlives the drawing under it, so that it keeps the focus and the finger.
 */
export class PointHandles {
  private readonly layer = document.createElement("div");
  private readonly points = new Map<string, HTMLElement>();
  private places = new Map<string, Placed>();

  constructor(
    private readonly canvas: HTMLElement,
    private readonly controls: Simulation["controls"],
    private readonly settings: () => Settings,
    private readonly move: Move,
  ) {
    this.layer.className = "handles";
    canvas.after(this.layer);
  }

  /** Puts every handle over its dot in a drawing that was just made. */
  place(picture: Picture): void {
    const placed = placedIn(picture);
    this.places = new Map(placed.map((one) => [one.handle.label, one]));
    for (const one of placed) {
      const point = this.points.get(one.handle.label) ?? this.made(one.handle);
      const frame = this.frameOf(one.panelAt);
      const { panel, x, y } = one;
      const share = (value: number, low: number, high: number) => (value - low) / (high - low);
      point.style.left = `${frame.left + share(x, panel.x.low, panel.x.high) * frame.width}px`;
      point.style.top = `${frame.top + (1 - share(y, panel.y.low, panel.y.high)) * frame.height}px`;
      this.name(point, one.handle);
    }
  }

  /** The plot of a panel, in px from the corner of the drawing. */
  private frameOf(panelAt: number): DOMRect {
    const plots = this.canvas.querySelectorAll<SVGSVGElement>("svg > g > svg");
    const all = this.canvas.getBoundingClientRect();
    const plot = plots[panelAt];
    if (!plot) return all;
    const size = (name: string) => Number(plot.getAttribute(name));
    return new DOMRect(size("x"), size("y"), size("width"), size("height"));
  }

  private made(handle: PointHandle): HTMLElement {
    const point = document.createElement("div");
    point.className = "handle";
    point.tabIndex = 0;
    point.setAttribute("role", "slider");
    point.setAttribute("aria-label", handle.label);
    point.addEventListener("keydown", (event) => {
      const step = steps[event.key];
      if (!step || !this.nudge(handle, step, event.shiftKey ? 10 : 1)) return;
      event.preventDefault();
    });
    point.addEventListener("pointerdown", (event) => {
      point.setPointerCapture(event.pointerId);
      event.preventDefault();
      point.focus();
    });
    point.addEventListener("pointermove", (event) => {
      if (point.hasPointerCapture(event.pointerId)) this.drag(handle, event);
    });
    this.points.set(handle.label, point);
    this.layer.append(point);
    return point;
  }

  private control(name: string | undefined): NumberControl | undefined {
    const found = this.controls.find((control) => control.name === name);
    return found?.kind === "number" ? found : undefined;
  }

  private value(name: string): number {
    return Number(this.settings()[name]);
  }

  private name(point: HTMLElement, { x, y }: PointHandle): void {
    const moved = [this.control(x), this.control(y)].filter((one) => one !== undefined);
    const words = moved.map(({ name, label, unit }) => `${label} ${this.value(name)} ${unit}`);
    const last = moved.at(-1);
    point.setAttribute("aria-valuetext", words.join(", "));
    if (!last) return;
    point.setAttribute("aria-valuemin", String(last.low));
    point.setAttribute("aria-valuemax", String(last.high));
    point.setAttribute("aria-valuenow", String(this.value(last.name)));
  }

  private nudge(
    handle: PointHandle,
    [axis, sign]: readonly [axis: "x" | "y", sign: number],
    times: number,
  ): boolean {
    const control = this.control(handle[axis]);
    if (!control) return false;
    const value = this.value(control.name) + sign * times * control.step;
    this.move({ [control.name]: allowed(control, value) });
    return true;
  }

  private drag(handle: PointHandle, event: PointerEvent): void {
    const place = this.places.get(handle.label);
    if (!place) return;
    const frame = this.frameOf(place.panelAt);
    const corner = this.canvas.getBoundingClientRect();
    const across = (event.clientX - corner.left - frame.left) / frame.width;
    const up = 1 - (event.clientY - corner.top - frame.top) / frame.height;
    const { x, y } = place.panel;
    const wanted: Record<string, number> = {};
    const set = (name: string | undefined, value: number) => {
      const control = this.control(name);
      if (control) wanted[control.name] = allowed(control, value);
    };
    set(handle.x, x.low + across * (x.high - x.low));
    set(handle.y, y.low + up * (y.high - y.low));
    this.move(wanted);
  }
}

/** The nearest value that a control allows. */
function allowed({ low, high, step }: NumberControl, value: number): number {
  const near = low + Math.round((value - low) / step) * step;
  return Number(Math.min(high, Math.max(low, near)).toFixed(6));
}
