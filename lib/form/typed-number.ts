/** What a tester typed into a field for a number: its value, or a question about it. */
export type TypedNumber =
  | { readonly kind: "value"; readonly value: number; readonly text: string }
  | { readonly kind: "question"; readonly question: string; readonly proposal?: string };

const plain = /^(?:\d{1,6}(?:\.\d{0,4})?|\.\d{1,4})$/;

/**
 * Reads a typed number. Only digits with at most one decimal point pass; anything else becomes a
 * question, with a proposal where one reading is likely. Nothing is changed without being shown.
 * @param typed text of the field
 * @param unit unit that the device shows, for the question
 */
export function typedNumber(typed: string, unit: string): TypedNumber {
  const text = typed.trim();
  if (plain.test(text)) return { kind: "value", value: Number(text), text: withoutZeros(text) };
  const proposal = text.replace(",", ".");
  if (/^\d{1,3},\d{1,2}$/.test(text))
    return {
      kind: "question",
      question: `The decimal sign here is a point. Did the device show ${proposal} ${unit}?`,
      proposal,
    };
  return { kind: "question", question: questionAbout(text, unit) };
}

function questionAbout(text: string, unit: string): string {
  if (text === "")
    return "The field is empty. Type what the device shows, or choose why there is no value.";
  if (/^[-−–]/.test(text)) return "The value is negative. What does the device show?";
  if (/\p{L}/u.test(text))
    return `The field takes digits only; the unit is ${unit}. What does the device show?`;
  if ((text.match(/[.,]/g)?.length ?? 0) > 1)
    return "There are two decimal signs. What does the device show?";
  if (/^\d+$/.test(text)) return "The number has too many digits. What does the device show?";
  return "This is not a number such as 41.5. What does the device show?";
}

/** "041.50" is written as "41.50": the digits after the point tell how fine the display is. */
function withoutZeros(text: string): string {
  const whole = text.replace(/^0+(?=\d)/, "").replace(/\.$/, "");
  return whole.startsWith(".") ? `0${whole}` : whole;
}
