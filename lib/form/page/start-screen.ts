import { standingRows } from "../journal.js";
import { tasksOf } from "../test-steps.js";
import type { Desk } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";

/** Chooses the visit and the golfer. */
export function startScreen(desk: Desk): Child {
  const { content } = desk;
  const offered = content.design.occasions.filter(
    ({ id }) => content.occasion === undefined || content.occasion === id,
  );
  const chosen = desk.visit?.occasion ?? offered[0]?.id ?? "";
  const visits = element(
    "select",
    {},
    offered.map(({ id, title }) =>
      element("option", { value: id, selected: id === chosen }, title || id),
    ),
  );
  visits.addEventListener("change", () => {
    desk.go("start", { participant: "", occasion: visits.value });
  });
  return [
    element("h1", {}, content.title),
    element("p", {}, "Choose the visit, then the golfer. Codes only: no names in this form."),
    labelled("Visit", "visit", visits),
    settings(desk),
    element("h2", {}, "Golfers"),
    element("ul", { class: "golfers" }, golfers(desk, chosen)),
  ];
}

function settings(desk: Desk): Child {
  const fields = [
    ["tester", "Tester (initials or code)"],
    ["dynamometer", "Code of the dynamometer"],
    ["speed device", "Code of the speed device"],
  ] as const;
  return element(
    "fieldset",
    {},
    element("legend", {}, "Tester and devices"),
    fields.map(([name, label]) => {
      const value = desk.setting[name] ?? "";
      const field = textField({ maxlength: "40", value });
      field.addEventListener("input", () => {
        desk.setting = { ...desk.setting, [name]: field.value.trim() };
      });
      return labelled(label, name.replace(" ", "-"), field);
    }),
  );
}

function golfers(desk: Desk, occasion: string): Child {
  const rows = standingRows(desk.journal);
  return desk.content.people.map(({ participant }) => {
    const planned = tasksOf(desk.content, participant, occasion).length;
    const done = rows.filter(
      ({ row }) => row.participant === participant && row.occasion === occasion,
    ).length;
    const state = done === 0 ? "not tested" : `${done} of ${planned} trials`;
    const open = () => desk.go("screening", { participant, occasion });
    return element(
      "li",
      {},
      button(`${participant}: ${state}`, open, done >= planned ? "done" : ""),
    );
  });
}
