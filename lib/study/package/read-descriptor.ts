import { InputError } from "../../errors.js";
import { decodeText } from "../check/text.js";

/** Records nested deeper than this are no descriptor, and could exhaust whatever goes through them. */
const deepest = 60;

/**
 * Reads the bytes of a datapackage.json as JSON: UTF-8 or UTF-16, with or without a byte-order mark,
 * as the files of a study are read. What the JSON holds is judged elsewhere.
 * @throws InputError when it is no JSON, or is nested more than 60 deep
 */
export function readDescriptor(bytes: Uint8Array): unknown {
  const text = new TextDecoder().decode(decodeText(bytes).bytes);
  if (depthOf(text) > deepest) throw unreadable(`records nested more than ${deepest} deep`);
  try {
    return JSON.parse(text);
  } catch (error) {
    throw unreadable(error instanceof Error ? error.message.slice(0, 120) : "no JSON");
  }
}

function unreadable(got: string): InputError {
  return new InputError({ expected: "valid JSON", got, where: "datapackage.json" });
}

/** How deep brackets open outside of texts. */
function depthOf(text: string): number {
  let depth = 0;
  let most = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const letter = text[i];
    if (quoted && letter === "\\") i++;
    else if (letter === '"') quoted = !quoted;
    else if (!quoted && (letter === "[" || letter === "{")) most = Math.max(most, ++depth);
    else if (!quoted && (letter === "]" || letter === "}")) depth--;
  }
  return most;
}
