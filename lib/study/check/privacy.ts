import { itemAt } from "../../entry.js";
import type { IssueLog } from "./issue-log.js";
import type { Sheet } from "./sheet.js";

/** Column names that speak of a person rather than of a code. */
const personalHeaders: readonly { readonly pattern: RegExp; readonly what: string }[] = [
  {
    pattern:
      /^(.*[ _-])?(name|nom|naam|nombre|nome|navn|namn)$|^(sur|last|first|full|given|family|fore)[ _-]?names?$|^(vor|nach|zu)?name$|^prenom$|^apellidos?$|^cognome$|^initials$/,
    what: "a name",
  },
  { pattern: /e[ _-]?mail|^mail([ _-]address)?$|^correo/, what: "an e-mail address" },
  {
    pattern: /phone|^mobile|^cell$|^tel\.?$|^telefon|^handy|^whatsapp/,
    what: "a telephone number",
  },
  {
    pattern: /birth|^d\.?o\.?b\.?$|geburt|naissance|nacimiento|geboorte|nascita/,
    what: "a date of birth",
  },
  {
    pattern: /^(home|postal|street)?[ _-]?address$|^post[ _-]?code$|^zip([ _-]?code)?$|^street$/,
    what: "a home address",
  },
  {
    pattern: /passport|^nhs|national[ _-]?(id|insurance)|social[ _-]?security|^ssn$/,
    what: "a number of identity",
  },
];

const emailText = /[^\s@<>"]{1,64}@[^\s@<>"]{1,200}\.[a-z]{2,}/i;
const phoneText = /(?:^|\s)\+\d[\d ()./-]{7,20}(?:\s|$)/;

/** What a column's name says of personal data, or null. Accents and case do not matter. */
export function personalHeader(name: string): string | null {
  const plain = name
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .trim()
    .toLowerCase();
  // Names of things that are not people.
  if (/^(file|club|device|sheet|study|position|test|arm|resource)[ _-]?name$/.test(plain))
    return null;
  return personalHeaders.find(({ pattern }) => pattern.test(plain))?.what ?? null;
}

function isPersonal(text: string): boolean {
  return (
    (text.includes("@") && emailText.test(text)) || (text.includes("+") && phoneText.test(text))
  );
}

/** Stops the check where a file contains names, addresses, telephone numbers or birth dates. */
export function findPersonalData(sheet: Sheet, file: string, log: IssueLog): void {
  for (const { name, levels, codes } of sheet.columns) {
    const header = personalHeader(name);
    if (header) {
      const value = `The column "${name}"`;
      log.add({ file, row: 1, column: name, code: "personal-data", value, expected: header });
      continue;
    }
    const level = levels.findIndex(isPersonal);
    if (level < 0) continue;
    const expected = emailText.test(itemAt(levels, level))
      ? "an e-mail address"
      : "a telephone number";
    const row = sheet.fileRow(codes.indexOf(level));
    // The value itself is not repeated in the message: it would travel on in a log.
    log.add({ file, row, column: name, code: "personal-data", value: "A cell", expected });
  }
}
