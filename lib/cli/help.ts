import type { Help } from "./io.js";

/** Lines of "name   what", the second column lined up. */
function columns(rows: readonly { name: string; what: string }[]): string[] {
  const width = Math.max(...rows.map(({ name }) => name.length));
  return rows.map(({ name, what }) => `  ${name.padEnd(width)}   ${what}`);
}

/** The help of one command. */
export function commandHelp(help: Help): string {
  const lines = [help.what, "", `Usage: ${help.usage}`];
  if (help.options.length > 0) lines.push("", "Options:", ...columns(help.options));
  if (help.more) lines.push("", `${help.more.title}:`, ...columns(help.more.rows));
  lines.push("", "Examples:");
  lines.push(...columns(help.examples.map(({ line, what }) => ({ name: line, what }))));
  return `${lines.join("\n")}\n`;
}

/** The help of the program: its commands with a line each. */
export function programHelp(commands: Readonly<Record<string, { readonly what: string }>>): string {
  const rows = Object.entries(commands).map(([name, { what }]) => ({ name, what }));
  return `${[
    "Re-runnable notebooks for studies of grip strength and club speed.",
    "",
    "Usage: tautline <command> [options]",
    "",
    "Commands:",
    ...columns(rows),
    "",
    "Every command has --help, with examples, and --json for one JSON document on the standard output.",
    "Exit codes: 0 fine, 1 differences or data errors, 2 wrong use, 3 a notebook or kernel failed.",
  ].join("\n")}\n`;
}
