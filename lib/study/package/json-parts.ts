import type { IssueCode } from "../check/issue.js";

/** Something wrong in datapackage.json, and where. */
export interface PackageFault {
  readonly code: IssueCode;
  readonly where: string;
  readonly value: string;
  readonly expected: string;
}

export type Json = Record<string, unknown>;

export function isRecord(value: unknown): value is Json {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function shown(value: unknown): string {
  if (value === undefined) return "nothing";
  return String(JSON.stringify(value)).slice(0, 60);
}

/** Takes typed parts out of a JSON record and keeps a fault for each that has another type. */
export class JsonParts {
  readonly faults: PackageFault[] = [];

  fault(where: string, value: unknown, expected: string): void {
    this.faults.push({ code: "package-incomplete", where, value: shown(value), expected });
  }

  text(from: Json, key: string, where: string): string {
    const value = from[key];
    if (value === undefined) return "";
    if (typeof value === "string") return value;
    this.fault(where + key, value, "a text");
    return "";
  }

  must(from: Json, key: string, where: string): string {
    const value = this.text(from, key, where);
    if (value === "" && from[key] === undefined) this.fault(where + key, undefined, "a text");
    return value;
  }

  count(from: Json, key: string, where: string, fallback: number): number {
    const value = from[key];
    if (value === undefined) return fallback;
    if (typeof value === "number" && Number.isFinite(value) && value >= 0) return value;
    this.fault(where + key, value, "a number of at least 0");
    return fallback;
  }

  list(from: Json, key: string, where: string): Json[] {
    const value = from[key];
    if (value === undefined) return [];
    if (Array.isArray(value) && value.every(isRecord)) return value;
    this.fault(where + key, value, "a list of records");
    return [];
  }

  texts(from: Json, key: string, where: string): string[] {
    const value = from[key];
    if (value === undefined) return [];
    if (Array.isArray(value) && value.every((part) => typeof part === "string")) return value;
    this.fault(where + key, value, "a list of texts");
    return [];
  }

  pairs(from: unknown, where: string): Record<string, string> {
    if (from === undefined) return {};
    if (isRecord(from) && Object.values(from).every((value) => typeof value === "string"))
      return from as Record<string, string>;
    this.fault(where, from, "a record of texts");
    return {};
  }
}
