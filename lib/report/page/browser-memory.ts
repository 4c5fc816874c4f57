/** What the browser remembers under a key; some browsers close their storage for pages from a file. */
export function remembered(key: string): string | undefined {
  try {
    return localStorage.getItem(key) ?? undefined;
  } catch {
    return undefined;
  }
}

/** Remembers a text under a key; where storage is closed, it lasts as long as the page. */
export function remember(key: string, text: string): void {
  try {
    localStorage.setItem(key, text);
  } catch {
    // the page itself still has it
  }
}

/** A record that was remembered as JSON; empty where there is none, or something else lies there. */
export function rememberedRecord<Value>(key: string): Record<string, Value> {
  try {
    const record: unknown = JSON.parse(remembered(key) ?? "{}");
    return record !== null && typeof record === "object" ? (record as Record<string, Value>) : {};
  } catch {
    return {};
  }
}
