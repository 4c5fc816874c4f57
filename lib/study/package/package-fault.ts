import type { IssueCode } from "../check/issue.js";

/** Something wrong in datapackage.json, and where. */
export interface PackageFault {
  /** Kind of the fault. */
  readonly code: IssueCode;
  /** A path such as `study.arms[0].id`. */
  readonly where: string;
  /** What stands there. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
}
