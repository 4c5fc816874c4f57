import { element } from "./element.js";

const statuses = [
  ["valid", "Valid"],
  ["pain-stop", "Stopped for pain"],
  ["refused", "Not done: refused"],
  ["device", "Device fault"],
] as const;

/** How a trial ended; only a valid one has a value. */
export type TrialStatus = (typeof statuses)[number][0];

/** One button per status, of which one is pressed: "valid" unless the tester chooses another. */
export class StatusChoice {
  readonly buttons = element("div", {
    class: "statuses",
    role: "group",
    "aria-label": "Status of the trial",
  });
  private pressed: TrialStatus = "valid";

  constructor() {
    this.choose("valid");
  }

  get chosen(): TrialStatus {
    return this.pressed;
  }

  choose(chosen: TrialStatus): void {
    this.pressed = chosen;
    this.buttons.replaceChildren(
      ...statuses.map(([status, label]) =>
        element(
          "button",
          {
            type: "button",
            "aria-pressed": String(status === chosen),
            press: () => this.choose(status),
          },
          label,
        ),
      ),
    );
  }
}
