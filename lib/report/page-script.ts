import { colours } from "../show/look.js";

/**
 * The program that a served page runs: it reloads when a rebuild went well, keeping the place, and
 * shows what failed beside the cell it failed in. Texts are set as text, never as markup.
 */
export const pageScript = `(() => {
  const boxes = [];
  let seen;
  const address = new URL("news", document.currentScript.src);
  function box(text) {
    const element = document.createElement("pre");
    element.className = "fault";
    element.setAttribute("role", "alert");
    element.textContent = text;
    element.style.cssText =
      "white-space:pre-wrap;border-left:4px solid ${colours.trail};padding:.6em 1em;margin:1em 0;" +
      "background:#fff;color:${colours.ink};overflow:auto";
    boxes.push(element);
    return element;
  }
  function show(news) {
    for (const old of boxes.splice(0)) old.remove();
    const main = document.querySelector("main") || document.body;
    if (news.problem) main.prepend(box(news.problem));
    for (const fault of news.faults) {
      const cell = fault.place && document.getElementById(fault.place);
      if (cell) cell.prepend(box(fault.text));
      else main.prepend(box(fault.text));
    }
  }
  new EventSource(address).onmessage = (event) => {
    const news = JSON.parse(event.data);
    const fine = !news.problem && news.faults.length === 0;
    if (seen !== undefined && news.turn !== seen && fine) location.reload();
    seen = news.turn;
    show(news);
  };
})();
`;
