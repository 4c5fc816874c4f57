import type { Role } from "./look.js";

/** What a part of a picture stands for; it decides colour and shape together. */
export type Tone = Role | "ink";

export interface PictureAxis {
  /** Quantity and unit: "Grip force (kgf)". */
  readonly title: string;
  readonly low: number;
  readonly high: number;
  /** False where the axis only spreads things out and its numbers mean nothing. */
  readonly numbered?: boolean;
}

/** Dots, one a person or a study, each column of one length. */
export interface DotsLayer {
  readonly kind: "dots";
  readonly tone: Tone;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly radius?: number;
  readonly hollow?: boolean;
}

/** Straight strokes from (x, y) to (toX, toY), such as intervals. */
export interface StrokesLayer {
  readonly kind: "strokes";
  readonly tone: Tone;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly toX: readonly number[];
  readonly toY: readonly number[];
  readonly width?: number;
  readonly faint?: boolean;
}

export interface LineLayer {
  readonly kind: "line";
  readonly tone: Tone;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly width?: number;
  readonly dashed?: boolean;
}

export interface BandLayer {
  readonly kind: "band";
  readonly tone: Tone;
  readonly x: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** A line across the whole panel at one value, with its name. */
export interface RuleLayer {
  readonly kind: "rule";
  readonly tone: Tone;
  readonly axis: "x" | "y";
  readonly value: number;
  readonly says: string;
  readonly dashed?: boolean;
}

export type Layer = DotsLayer | StrokesLayer | LineLayer | BandLayer | RuleLayer;

export interface Panel {
  readonly title: string;
  readonly x: PictureAxis;
  readonly y: PictureAxis;
  readonly layers: readonly Layer[];
}

/** A drawing as data: panels side by side, or one below another where the page is narrow. */
export interface Picture {
  readonly panels: readonly Panel[];
  /** Height of a panel with its axes, px. */
  readonly height: number;
}
