import type { Desk } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";

const units = { force: ["kgf", "N", "lbf"], speed: ["mph", "m/s", "km/h"] } as const;

/** Changes the unit that a device shows; only with a reason, and it is written in the journal. */
export function unitChange(desk: Desk, quantity: "force" | "speed"): Child {
  const from = desk.unit(quantity);
  const choice = element(
    "select",
    {},
    units[quantity].map((unit) =>
      element("option", { value: unit, selected: unit === from }, unit),
    ),
  );
  const reason = textField({ maxlength: "120" });
  const alert = element("p", { role: "alert" });
  const change = async () => {
    const to = choice.value;
    if (to === from) alert.textContent = `The unit is ${from} already.`;
    else if (reason.value.trim() === "") alert.textContent = "Write why the unit changes.";
    else {
      await desk.record({ event: "unit-changed", quantity, from, to, reason: reason.value.trim() });
      desk.draw();
    }
  };
  return [
    labelled("Unit that the device shows", "unit-choice", choice),
    labelled("Why it changes", "unit-reason", reason),
    alert,
    button("Change the unit from here on", () => void change()),
  ];
}
