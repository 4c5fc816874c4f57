import { present } from "../../entry.js";
import { proseHtml } from "../../markup.js";
import type { Settings, Simulation } from "../../show/lesson-outputs.js";
import type { Picture } from "../../show/picture.js";
import { isMovable, narrow, pictureSvg } from "../../show/picture-svg.js";
import type { PlayDesk } from "./lesson-desk.js";
import { PointHandles } from "./point-handles.js";
import { type Prediction, predicted } from "./prediction-lock.js";
import { linkedSetting, settingHash } from "./setting-link.js";

/** A result is read out once the reader has stopped changing it for so long, ms. */
const quiet = 600;
/** Between two draws of a simulation that keeps drawing, ms. */
const beat = 900;
const seeds = 1_000_000;

interface Shown {
  readonly picture: Picture;
  readonly alt: string;
  readonly sentence: string;
}

/** Up to this width of the window the figure stays pinned above its controls, px. */
const stacked = 960;
/** Up to this width the controls are a strip, px. */
const phone = 736;
/** Share of the window's height that the figure may take there. */
const figureShare = { phone: 0.48, stacked: 0.38 };
/** A panel needs this height for its axes and something to see, px. */
const leastHeight = 165;

/** The picture no taller than a small window allows, so that controls and result stay in view. */
function fitted(picture: Picture, width: number): Picture {
  if (innerWidth > stacked || innerHeight < 480) return picture;
  const rows = width < narrow ? picture.panels.length : 1;
  const share = innerWidth > phone ? figureShare.stacked : figureShare.phone;
  const room = Math.floor((share * innerHeight) / Math.max(1, rows));
  return { ...picture, height: Math.min(picture.height, Math.max(leastHeight, room)) };
}

/** One simulation of the page: its form, its picture, and the state it is in. */
export class LiveSimulation {
  private readonly record: Simulation;
  private readonly form: HTMLFormElement;
  private readonly canvas: HTMLElement;
  private settings: Settings;
  private seed: number;
  private shown: Shown;
  private width = 0;
  private readonly handles: PointHandles | undefined;
  private busy = false;
  private again = false;
  private speaking: ReturnType<typeof setTimeout> | undefined;
  private beating: ReturnType<typeof setInterval> | undefined;

  constructor(
    private readonly figure: HTMLElement,
    private readonly desk: PlayDesk,
  ) {
    this.record = JSON.parse(figure.querySelector("script.spec")?.textContent ?? "");
    this.form = present(figure.querySelector("form.dials"));
    this.canvas = present(figure.querySelector(".canvas"));
    this.settings = this.record.settings;
    this.seed = this.record.seed;
    this.shown = this.record;
    if (isMovable(this.record.picture)) {
      const move = (moved: Settings) => void this.moveTo(moved);
      this.handles = new PointHandles(this.canvas, this.record.controls, () => this.settings, move);
    }
    this.listen();
    new ResizeObserver(() => this.paint()).observe(this.canvas);
  }

  /** Takes up the setting that a link names, if it is for this simulation. */
  follow(hash: string): boolean {
    const linked = linkedSetting(hash, this.figure.id, this.record.controls);
    if (!linked) return false;
    this.settings = { ...this.record.settings, ...linked.settings };
    this.seed = linked.seed ?? this.record.seed;
    this.fillForm();
    this.change();
    this.figure.scrollIntoView();
    return true;
  }

  private listen(): void {
    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", (event) => this.touched(event.target as HTMLInputElement));
    this.form.addEventListener("change", () => this.fillForm());
    const acts: Record<string, (button: HTMLElement) => void> = {
      again: () => this.drawAgain(),
      on: (button) => this.keepDrawing(button),
      start: () => this.startOver(),
      link: () => this.share(),
    };
    for (const button of this.form.querySelectorAll<HTMLElement>("[data-play]")) {
      button.addEventListener("click", () => present(acts[present(button.dataset.play)])(button));
    }
    this.figure.addEventListener(predicted, (event) => {
      event.preventDefault();
      void this.answer((event as CustomEvent<Prediction>).detail);
    });
  }

  /** Appears with the settings that answer a prediction; a link to a setting goes before them. */
  private async answer({ settings, reveal }: Prediction): Promise<void> {
    if (!this.isLinked()) await this.moveTo(settings);
    reveal();
  }

  /** Whether the address of the page leads to a setting of this simulation. */
  private isLinked(): boolean {
    return location.hash.startsWith(`#${this.figure.id}?`);
  }

  /** A field that holds no allowed value yet, such as an empty one, waits. */
  private touched(field: HTMLInputElement | HTMLSelectElement): void {
    const control = this.record.controls.find(({ name }) => name === field.name);
    if (!control && field.name !== "seed") return;
    if (control?.kind === "choice") {
      this.settings = { ...this.settings, [field.name]: field.value };
    } else {
      const value = field.value === "" ? Number.NaN : Number(field.value);
      const [low, high] = control ? [control.low, control.high] : [0, seeds - 1];
      if (!(value >= low && value <= high)) return;
      if (control) this.settings = { ...this.settings, [field.name]: value };
      else if (Number.isInteger(value)) this.seed = value;
    }
    this.fillForm(field);
    this.change();
  }

  /** Writes the state into every field but the one that is being typed into. */
  private fillForm(but?: Element): void {
    for (const field of this.form.elements as Iterable<Element> & HTMLFormControlsCollection) {
      const { name } = field as HTMLInputElement;
      if (field === but || !name) continue;
      (field as HTMLInputElement).value = String(name === "seed" ? this.seed : this.settings[name]);
    }
  }

  /** Takes the values of a point that was moved, or those that answer a prediction. */
  private moveTo(moved: Settings): Promise<void> {
    this.settings = { ...this.settings, ...moved };
    this.fillForm();
    return this.change();
  }

  private drawAgain(): void {
    this.seed = (this.seed + 1) % seeds;
    this.fillForm();
    this.change();
  }

  private keepDrawing(button: HTMLElement): void {
    const on = this.beating === undefined;
    button.setAttribute("aria-pressed", String(on));
    button.textContent = on ? "Stop" : "Run";
    clearInterval(this.beating);
    this.beating = on ? setInterval(() => this.drawAgain(), beat) : undefined;
    if (!on) this.speakSoon();
  }

  private startOver(): void {
    // An address that leads to another state no longer describes what is shown.
    if (this.isLinked()) history.replaceState(null, "", location.pathname + location.search);
    this.settings = this.record.settings;
    this.seed = this.record.seed;
    this.fillForm();
    this.change();
  }

  private share(): void {
    const hash = settingHash(this.figure.id, this.settings, this.seed);
    history.replaceState(null, "", hash);
    const here = "The address of this page now leads to this setting.";
    const copied = "The link to this setting is copied.";
    const clipboard = navigator.clipboard?.writeText(location.href) ?? Promise.reject();
    clipboard.then(
      () => this.say(copied),
      () => this.say(here),
    );
  }

  /** Asks for the picture of the state as it is; while one is under way only the newest is kept. */
  private async change(): Promise<void> {
    this.again = true;
    if (this.busy) return;
    this.busy = true;
    while (this.again) {
      this.again = false;
      await this.play();
    }
    this.busy = false;
    this.speakSoon();
  }

  private async play(): Promise<void> {
    const start = performance.now();
    const { model, language } = this.record;
    try {
      this.shown = await this.desk({
        ask: "play",
        model,
        settings: this.settings,
        seed: this.seed,
        language,
      });
      this.width = 0;
      this.paint();
      present(this.figure.querySelector(".says")).innerHTML = String(
        proseHtml(this.shown.sentence),
      );
      this.figure.dataset.took = (performance.now() - start).toFixed(1);
    } catch (error) {
      this.say(error instanceof Error ? error.message : String(error));
    }
  }

  private paint(): void {
    const width = Math.round(this.canvas.clientWidth);
    if (width === 0 || width === this.width) return;
    this.width = width;
    const picture = fitted(this.shown.picture, width);
    this.canvas.innerHTML = pictureSvg(picture, this.shown.alt, width);
    this.handles?.place(picture);
  }

  private speakSoon(): void {
    clearTimeout(this.speaking);
    if (this.beating !== undefined) return;
    this.speaking = setTimeout(() => this.say(this.shown.sentence), quiet);
  }

  private say(words: string): void {
    present(this.figure.querySelector(".heard")).textContent = words;
  }
}

/** A record that cannot be read leaves its first state, and the rest of the page alive. */
function enlivened(figure: HTMLElement, desk: PlayDesk): LiveSimulation[] {
  try {
    return [new LiveSimulation(figure, desk)];
  } catch {
    return [];
  }
}

/** Brings the simulations of the page to life and takes up the setting of a link. */
export function offerSimulations(desk: PlayDesk): void {
  const figures = [...document.querySelectorAll<HTMLElement>(".play.ready")];
  const live = figures.flatMap((figure) => enlivened(figure, desk));
  const follow = () => live.some((one) => one.follow(location.hash));
  follow();
  addEventListener("hashchange", follow);
}
