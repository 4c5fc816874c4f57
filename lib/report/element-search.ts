/** What a selector of one element asks for: its tag, if it names one, and its classes. */
interface Wanted {
  readonly tag: string | undefined;
  readonly classes: readonly string[];
}

/** One tag, one or more classes, or both; anything else is left to the window's own search. */
const oneElement = /^([a-z][\w-]*)?((?:\.[a-z_][\w-]*)*)$/i;

const known = new Map<string, Wanted | undefined>();

function wantedBy(selector: string): Wanted | undefined {
  if (known.has(selector)) return known.get(selector);
  const [found, tag, classes = ""] = oneElement.exec(selector) ?? [];
  const wanted = found ? { tag, classes: classes.split(".").slice(1) } : undefined;
  known.set(selector, wanted);
  return wanted;
}

function isWanted(element: Element, { tag, classes }: Wanted): boolean {
  if (tag !== undefined && element.localName !== tag) return false;
  if (classes.length === 0) return true;
  const own = element.getAttribute("class");
  return own !== null && classes.every((name) => own.split(/\s+/).includes(name));
}

/** Takes the elements below one that are wanted, as they stand in the document, until there are enough. */
function gather(below: Element, wanted: Wanted, most: number, found: Element[]): Element[] {
  for (let child = below.firstElementChild; child; child = child.nextElementSibling) {
    if (isWanted(child, wanted)) found.push(child);
    if (found.length >= most || gather(child, wanted, most, found).length >= most) break;
  }
  return found;
}

/**
 * Finds elements by walking through those below. The window's own search keeps lists of all elements
 * by tag and class, which every change of the drawing makes worthless; the drawing program searches
 * thousands of times, between changes, below elements that have few others below them.
 */
export function searchByWalking({
  Element,
}: {
  readonly Element: { readonly prototype: Element };
}) {
  const shape = Element.prototype;
  const { querySelector, querySelectorAll } = shape;
  const replaced = {
    querySelector(this: Element, selector: string) {
      const wanted = wantedBy(selector);
      return wanted ? (gather(this, wanted, 1, [])[0] ?? null) : querySelector.call(this, selector);
    },
    querySelectorAll(this: Element, selector: string) {
      const wanted = wantedBy(selector);
      return wanted
        ? gather(this, wanted, Number.POSITIVE_INFINITY, [])
        : querySelectorAll.call(this, selector);
    },
  };
  Object.assign(shape, replaced);
}
