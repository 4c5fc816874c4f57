/** What an element is made of: texts stay texts, whatever they hold. */
export type Child = Node | string | undefined | readonly Child[];

interface Properties {
  readonly class?: string;
  readonly id?: string;
  readonly type?: string;
  readonly value?: string;
  readonly name?: string;
  readonly for?: string;
  readonly role?: string;
  readonly href?: string;
  readonly download?: string;
  readonly inputmode?: string;
  readonly autocomplete?: string;
  readonly placeholder?: string;
  readonly maxlength?: string;
  readonly scope?: string;
  readonly min?: string;
  readonly max?: string;
  readonly "aria-live"?: string;
  readonly "aria-label"?: string;
  readonly "aria-pressed"?: string;
  readonly "aria-describedby"?: string;
  readonly "data-part"?: string;
  readonly disabled?: boolean;
  readonly checked?: boolean;
  readonly selected?: boolean;
  readonly press?: () => void;
}

/** Makes an element; `press` is what a click, a touch or the keyboard does with it. */
export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  properties: Properties,
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (name === "press") made.addEventListener("click", value as () => void);
    else if (value === true) made.setAttribute(name, "");
    else if (typeof value === "string") made.setAttribute(name, value);
  }
  made.append(...flat(children));
  return made;
}

function flat(children: readonly Child[]): (Node | string)[] {
  return children.flatMap((child) => {
    if (child === undefined) return [];
    return typeof child === "string" || child instanceof Node ? [child] : flat(child);
  });
}

/** A button with a label. */
export function button(label: string, press: () => void, kind = ""): HTMLButtonElement {
  return element("button", { type: "button", class: kind, press }, label);
}

/** A field for one line of text; the browser proposes nothing that was typed before. */
export function textField(properties: Properties): HTMLInputElement {
  return element("input", { type: "text", autocomplete: "off", ...properties });
}

/** A field with its label above it. */
export function labelled(label: string, id: string, field: HTMLElement): HTMLElement {
  field.id = id;
  return element("p", { class: "field" }, element("label", { for: id }, label), field);
}
