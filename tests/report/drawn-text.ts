import type { Page } from "playwright-core";

/** Letters smaller than this are not read on a phone. */
const smallestLetters = 11;

/**
 * What a reader cannot read in the drawings that a page shows at its present width: a text that
 * leaves the frame of its drawing, or letters that are too small.
 * @param smallest letters that are read: 11 px on a screen unless given
 * @returns one line per fault, with the text
 */
export async function drawnTextFaults(page: Page, smallest = smallestLetters): Promise<string[]> {
  return page.evaluate((least) => {
    const faults: string[] = [];
    for (const drawing of document.querySelectorAll<SVGSVGElement>(".drawing svg")) {
      const frame = drawing.getBoundingClientRect();
      if (frame.width === 0) continue; // the drawing of another width
      const scale = frame.width / (drawing.viewBox.baseVal.width || frame.width);
      for (const text of drawing.querySelectorAll("text")) {
        const words = text.textContent?.trim() ?? "";
        const box = text.getBoundingClientRect();
        if (words === "" || box.width === 0) continue;
        const outside =
          Math.max(
            frame.left - box.left,
            box.right - frame.right,
            frame.top - box.top,
            box.bottom - frame.bottom,
          ) > 1;
        if (outside) faults.push(`“${words}” leaves its frame`);
        const letters = Number.parseFloat(getComputedStyle(text).fontSize) * scale;
        if (letters < least - 0.05) faults.push(`“${words}” has letters of ${letters} px`);
      }
    }
    return faults;
  }, smallest);
}
