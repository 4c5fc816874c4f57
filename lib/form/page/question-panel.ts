import { button, element, labelled, textField } from "./element.js";

/** A question with its answers as buttons. */
export function questionPanel(
  question: string,
  answers: readonly (readonly [label: string, press: () => void])[],
): Node[] {
  return [
    element("p", { class: "question" }, question),
    ...answers.map(([label, press]) => button(label, press, "answer")),
  ];
}

/** A question that is answered with a reason in words. */
export function reasonPanel(
  question: string,
  label: string,
  given: (reason: string) => void,
): Node[] {
  const field = textField({ maxlength: "120" });
  const alert = element("p", { role: "alert" });
  const press = () => {
    const reason = field.value.trim();
    if (reason === "") alert.textContent = "Write a reason first.";
    else given(reason);
  };
  return [
    element("p", { class: "question" }, question),
    labelled("Reason", `reason-${label.length}-${question.length}`, field),
    alert,
    button(label, press, "answer"),
  ];
}
