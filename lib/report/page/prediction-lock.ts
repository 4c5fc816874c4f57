/** Keeps the controls of a simulation locked until the reader has predicted what it shows. */
export function lockUntilPredicted(): void {
  for (const choice of document.querySelectorAll<HTMLElement>(".choice")) {
    const simulation = document.getElementById(choice.dataset.unlocks ?? "");
    if (!simulation) continue;
    const note = document.createElement("p");
    note.className = "lock";
    note.textContent = "Choose an answer to the question above first: what do you expect?";
    const dials = simulation.querySelector<HTMLElement>(".dials");
    if (!dials) continue;
    const controls = [...dials.querySelectorAll<HTMLElement>(".settings, .acts")];
    for (const part of controls) part.inert = true;
    simulation.classList.add("locked");
    dials.prepend(note);
    choice.addEventListener(
      "toggle",
      () => {
        for (const part of controls) part.inert = false;
        simulation.classList.remove("locked");
        note.remove();
      },
      { capture: true, once: true },
    );
  }
}
