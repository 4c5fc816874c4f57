import { crc32, deflateSync } from "node:zlib";

type Colour = readonly [number, number, number, number];

/** The colour words a colour scale can hand over. */
function colourOf(style: string): Colour {
  const hex = /^#([0-9a-f]{6})$/i.exec(style)?.[1];
  if (hex) {
    const part = (at: number) => Number.parseInt(hex.slice(at, at + 2), 16);
    return [part(0), part(2), part(4), 255];
  }
  const [r = 0, g = 0, b = 0, a = 1] = (style.match(/[\d.]+/g) ?? []).map(Number);
  return [r, g, b, Math.round(a * 255)];
}

function chunk(type: string, body: Uint8Array): Buffer {
  const head = Buffer.alloc(4);
  head.writeUInt32BE(body.length);
  const typed = Buffer.concat([Buffer.from(type, "latin1"), body]);
  const tail = Buffer.alloc(4);
  tail.writeUInt32BE(crc32(typed));
  return Buffer.concat([head, typed, tail]);
}

/** Eight-bit RGBA pixels as a PNG file. */
function pngOf(pixels: Uint8ClampedArray, width: number, height: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 6, 0, 0, 0], 8);
  const rows = Buffer.alloc((width * 4 + 1) * height);
  for (let y = 0; y < height; y++) {
    rows.set(pixels.subarray(y * width * 4, (y + 1) * width * 4), y * (width * 4 + 1) + 1);
  }
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    chunk("IDAT", deflateSync(rows)),
    chunk("IEND", new Uint8Array()),
  ]);
}

/** As much of a 2D canvas as a heatmap needs: filled rectangles, pixels in and out. */
export class Raster {
  fillStyle = "#000000";
  private pixels: Uint8ClampedArray<ArrayBuffer>;

  constructor(
    readonly width: number,
    readonly height: number,
  ) {
    this.pixels = new Uint8ClampedArray(width * height * 4);
  }

  fillRect(x: number, y: number, width: number, height: number): void {
    const colour = colourOf(this.fillStyle);
    const right = Math.min(this.width, Math.round(x + width));
    const bottom = Math.min(this.height, Math.round(y + height));
    for (let row = Math.max(0, Math.round(y)); row < bottom; row++) {
      for (let column = Math.max(0, Math.round(x)); column < right; column++) {
        this.pixels.set(colour, (row * this.width + column) * 4);
      }
    }
  }

  createImageData(width: number, height: number) {
    return { width, height, data: new Uint8ClampedArray(width * height * 4) };
  }

  getImageData() {
    return { width: this.width, height: this.height, data: this.pixels };
  }

  putImageData(image: { data: Uint8ClampedArray }): void {
    this.pixels = new Uint8ClampedArray(image.data);
  }

  dataUrl(): string {
    return `data:image/png;base64,${pngOf(this.pixels, this.width, this.height).toString("base64")}`;
  }
}
