/**
 * What was asked for does not exist in this workspace, such as a notebook, a revision or a study.
 * The message says what was asked for and, where possible, what to do.
 */
export class RequestError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "RequestError";
  }
}
