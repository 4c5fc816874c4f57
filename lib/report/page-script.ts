import { colours } from "../show/look.js";

/**
 * The program that a served page runs: it reloads when a rebuild went well, keeping the place, and
 * shows what failed beside the cell it failed in. While cells of its notebook run again, their parts
 * of the page are replaced; that markup comes from the maker of the pages. Texts are set as text.
 */
export const pageScript = `(() => {
  const boxes = [];
  const notes = [];
  let seen;
  let line;
  const here = (location.pathname.split("/").pop() || "index.html").replace(/\\.html$/, "");
  const address = new URL("news?page=" + encodeURIComponent(here), document.currentScript.src);
  function box(text, kept) {
    const element = document.createElement("pre");
    element.className = "fault";
    element.setAttribute("role", "alert");
    element.textContent = text;
    element.style.cssText =
      "white-space:pre-wrap;border-left:4px solid ${colours.trail};padding:.6em 1em;margin:1em 0;" +
      "background:#fff;color:${colours.ink};overflow:auto";
    kept.push(element);
    return element;
  }
  function openAround(cell) {
    for (let at = cell; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
  }
  function beside(faults, kept) {
    const main = document.querySelector("main") || document.body;
    for (const fault of faults) {
      const cell = fault.place && document.getElementById(fault.place);
      openAround(cell);
      (cell || main).prepend(box(fault.text, kept));
    }
  }
  function clear(kept) {
    for (const old of kept.splice(0)) old.remove();
  }
  function show(news) {
    clear(boxes);
    clear(notes);
    if (news.problem) beside([{ text: news.problem }], boxes);
    beside(news.faults, boxes);
  }
  function elementsOf(html) {
    const template = document.createElement("template");
    template.innerHTML = html;
    return template.content;
  }
  function replace(piece) {
    const old = document.getElementById(piece.place);
    if (!old) return;
    const made = elementsOf(piece.html).firstElementChild;
    const code = old.querySelector("details.code");
    if (code && code.open) for (const one of made.querySelectorAll("details.code")) one.open = true;
    old.replaceWith(made);
    openAround(made.parentElement);
  }
  function live(news) {
    if (news.begins) clear(boxes);
    clear(notes);
    const body = document.querySelector("article .body");
    if (news.body !== undefined && body) {
      const eyebrow = body.querySelector(".eyebrow");
      body.replaceChildren(...(eyebrow ? [eyebrow] : []), elementsOf(news.body));
    }
    for (const piece of news.pieces) replace(piece);
    const answer = document.querySelector(".key-answer");
    if (news.answer && answer) answer.replaceWith(elementsOf(news.answer));
    beside(news.notes, notes);
    if (!line) {
      line = document.createElement("p");
      line.className = "live-state";
      line.setAttribute("role", "status");
      line.style.cssText =
        "position:fixed;right:1em;bottom:1em;margin:0;padding:.4em .8em;max-width:36em;z-index:9;" +
        "background:${colours.paper};color:${colours.ink};border:1px solid ${colours.ink}";
    }
    line.textContent = news.state;
    if (news.state) document.body.append(line);
    else line.remove();
  }
  const news = new EventSource(address);
  news.addEventListener("live", (event) => {
    const told = JSON.parse(event.data);
    if (told.page === here) live(told);
  });
  news.onmessage = (event) => {
    const news = JSON.parse(event.data);
    const fine = !news.problem && news.faults.length === 0;
    if (seen !== undefined && news.turn !== seen && fine) location.reload();
    seen = news.turn;
    show(news);
  };
})();
`;
