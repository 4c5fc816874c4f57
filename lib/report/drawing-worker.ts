import { parentPort } from "node:worker_threads";
import { type DrawableFigure, drawIn, drawingWindow } from "./drawing-window.js";

/** One order: a figure and its size in px. The answer is its SVG text or the reason for none. */
export interface DrawingOrder {
  /** The figure to draw. */
  readonly figure: DrawableFigure;
  /** Width and height of the drawing, in px. */
  readonly size: { readonly width: number; readonly height: number };
}

/** The SVG text of a drawing, or why it could not be made. */
export type DrawingAnswer = { readonly svg: string } | { readonly problem: string };

const window = drawingWindow();

parentPort?.on("message", async ({ figure, size }: DrawingOrder) => {
  let answer: DrawingAnswer;
  try {
    answer = { svg: await drawIn(window, figure, size) };
  } catch (error) {
    answer = { problem: error instanceof Error ? error.message : String(error) };
  }
  parentPort?.postMessage(answer);
});
