import type { Role } from "./look.js";

/** What a part of a picture stands for; it decides colour and shape together. */
export type Tone = Extract<Role, "lead" | "trail" | "speed" | "control"> | "ink";

/** An axis of a panel. */
export interface PictureAxis {
  /** Quantity and unit: "Grip force (kgf)". */
  readonly title: string;
  /** Value at the left or lower end, in the unit of the axis. */
  readonly low: number;
  /** Value at the right or upper end, in the unit of the axis. */
  readonly high: number;
  /** False where the axis only spreads things out and its numbers mean nothing. */
  readonly numbered?: boolean;
}

/** A dot that a reader moves: the settings that it sets. */
export interface PointHandle {
  /** Names the dot, for readers who cannot see it. */
  readonly label: string;
  /** A letter beside the dot; left out where another dot of the same golfer has it. */
  readonly mark?: string;
  /** Setting that follows the dot along the x axis; left out where it does not move along it. */
  readonly x?: string;
  /** Setting that follows the dot along the y axis. */
  readonly y?: string;
}

/** Dots, one per person or study, each column of one length. */
export interface DotsLayer {
  /** Kind of the layer. */
  readonly kind: "dots";
  /** Colour of the house look, by its part in the picture. */
  readonly tone: Tone;
  /** Values on the x axis, in its unit. */
  readonly x: readonly number[];
  /** Values on the y axis, in its unit. */
  readonly y: readonly number[];
  /** Radius of a dot, px. */
  readonly radius?: number;
  /** Whether dots are rings. */
  readonly hollow?: boolean;
  /** What moves each dot, where a reader may move them; in the order of the dots. */
  readonly handles?: readonly PointHandle[];
}

/** Straight strokes from (x, y) to (toX, toY), such as intervals. */
export interface StrokesLayer {
  /** Kind of the layer. */
  readonly kind: "strokes";
  /** Colour of the house look, by its part in the picture. */
  readonly tone: Tone;
  /** Values on the x axis, in its unit. */
  readonly x: readonly number[];
  /** Values on the y axis, in its unit. */
  readonly y: readonly number[];
  /** Where each stroke ends on the x axis, in its unit. */
  readonly toX: readonly number[];
  /** Where each stroke ends on the y axis, in its unit. */
  readonly toY: readonly number[];
  /** Width of the stroke, px. */
  readonly width?: number;
  /** Whether strokes are drawn lighter, behind others. */
  readonly faint?: boolean;
}

/** A line through points, from left to right. */
export interface LineLayer {
  /** Kind of the layer. */
  readonly kind: "line";
  /** Colour of the house look, by its part in the picture. */
  readonly tone: Tone;
  /** Values on the x axis, in its unit. */
  readonly x: readonly number[];
  /** Values on the y axis, in its unit. */
  readonly y: readonly number[];
  /** Width of the stroke, px. */
  readonly width?: number;
  /** Whether the line is dashed. */
  readonly dashed?: boolean;
}

/** An area between two lines. */
export interface BandLayer {
  /** Kind of the layer. */
  readonly kind: "band";
  /** Colour of the house look, by its part in the picture. */
  readonly tone: Tone;
  /** Values on the x axis, in its unit. */
  readonly x: readonly number[];
  /** Lower edge at each x, in the unit of the y axis. */
  readonly low: readonly number[];
  /** Upper edge at each x, in the unit of the y axis. */
  readonly high: readonly number[];
}

/** A line across the whole panel at one value, with its name. */
export interface RuleLayer {
  /** Kind of the layer. */
  readonly kind: "rule";
  /** Colour of the house look, by its part in the picture. */
  readonly tone: Tone;
  /** The axis that the value is on. */
  readonly axis: "x" | "y";
  /** Value at which the line is drawn, in the unit of that axis. */
  readonly value: number;
  /** Name beside the line. */
  readonly says: string;
  /** Whether the line is dashed. */
  readonly dashed?: boolean;
}

/** Words inside a panel, each beginning at its point. */
export interface LabelsLayer {
  /** Kind of the layer. */
  readonly kind: "labels";
  /** Where each begins on the x axis, in its unit. */
  readonly x: readonly number[];
  /** Where each stands on the y axis, in its unit. */
  readonly y: readonly number[];
  /** The words. */
  readonly says: readonly string[];
}

/** One part of a panel, drawn in order. */
export type Layer = DotsLayer | StrokesLayer | LineLayer | BandLayer | RuleLayer | LabelsLayer;

/** One plot of a picture. */
export interface Panel {
  /** Title above the panel. */
  readonly title: string;
  /** The horizontal axis. */
  readonly x: PictureAxis;
  /** The vertical axis. */
  readonly y: PictureAxis;
  /** True for a sketch: no axes, and one scale for both, so that circles are circles. */
  readonly sketch?: boolean;
  /** What is drawn, from back to front. */
  readonly layers: readonly Layer[];
}

/** A drawing as data: panels side by side, or one below another where the page is narrow. */
export interface Picture {
  /** The panels in reading order. */
  readonly panels: readonly Panel[];
  /** Height of a panel with its axes, px. */
  readonly height: number;
}
