/** Width and height of a drawing, px. */
export interface DrawnSize {
  /** Width in px; a figure's own layout.width comes first. */
  readonly width: number;
  /** Height in px; a figure's own layout.height comes first. */
  readonly height: number;
}

const usual: DrawnSize = { width: 720, height: 440 };

/** The size in which a figure is drawn: its own, else the wanted one, else the usual one. */
export function drawnSize(
  layout: object,
  wanted: { readonly width?: number | undefined; readonly height?: number | undefined } = {},
): DrawnSize {
  const own = layout as { width?: number; height?: number };
  return {
    width: own.width ?? wanted.width ?? usual.width,
    height: own.height ?? wanted.height ?? usual.height,
  };
}
