/** The rectangle that a drawing lays below everything else. */
const paper = /(<rect x="0" y="0" width="[\d.]+" height="[\d.]+" style="fill: )rgb\([\d, ]+\)/;

/** A recorded drawing on white paper, as journals print it. */
export function onWhitePaper(svg: string): string {
  return svg.replace(paper, "$1rgb(255, 255, 255)");
}
