import { crc32 } from "node:zlib";
import { Resvg, type ResvgRenderOptions, renderAsync } from "@resvg/resvg-js";
import { fontFiles } from "./font-metrics.js";

/** Size and resolution of a PNG picture. */
export interface PaintingSize {
  /** Width of the picture in pixels; the height follows. */
  readonly width: number;
  /** Resolution written into the file, in dots per inch. */
  readonly dpi: number;
}

/** The PNG chunk that says how many pixels a metre holds. */
function resolutionChunk(dpi: number): Buffer {
  const chunk = Buffer.alloc(21);
  const perMetre = Math.round(dpi / 0.0254);
  chunk.writeUInt32BE(9, 0);
  chunk.write("pHYs", 4, "latin1");
  chunk.writeUInt32BE(perMetre, 8);
  chunk.writeUInt32BE(perMetre, 12);
  chunk.writeUInt8(1, 16);
  chunk.writeUInt32BE(crc32(chunk.subarray(4, 17)), 17);
  return chunk;
}

const afterHeader = 33;

/** The figures' own font files, and no font of the machine. */
function painting(width: number): ResvgRenderOptions {
  return {
    fitTo: { mode: "width", value: width },
    font: {
      fontFiles: [fontFiles.regular, fontFiles.bold],
      loadSystemFonts: false,
      defaultFontFamily: "DejaVu Sans",
    },
  };
}

function withResolution(png: Buffer, dpi: number): Buffer {
  return Buffer.concat([
    png.subarray(0, afterHeader),
    resolutionChunk(dpi),
    png.subarray(afterHeader),
  ]);
}

/** A drawing as PNG, painted with the figures' own font files and no font of the machine. */
export function paintedPng(svg: string, { width, dpi }: PaintingSize): Buffer {
  return withResolution(new Resvg(svg, painting(width)).render().asPng(), dpi);
}

/** Several drawings as PNG, painted beside one another; the same bytes as `paintedPng` makes. */
export function paintedPngs(
  svgs: readonly string[],
  { width, dpi }: PaintingSize,
): Promise<Buffer[]> {
  return Promise.all(
    svgs.map(async (svg) => {
      const image = await renderAsync(svg, painting(width));
      return withResolution(image.asPng(), dpi);
    }),
  );
}
