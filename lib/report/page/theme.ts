import { remember, remembered } from "./browser-memory.js";

/** Light or dark: what the reader chose, else what the system prefers. */
type Theme = "light" | "dark";

const key = "tautline-theme";

function chosen(): Theme | undefined {
  const theme = remembered(key);
  return theme === "light" || theme === "dark" ? theme : undefined;
}

function currentTheme(): Theme {
  const set = document.documentElement.dataset.theme;
  if (set === "light" || set === "dark") return set;
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

/** Sets the theme before the page is painted. */
export function applyTheme(): void {
  const theme = chosen();
  if (theme) document.documentElement.dataset.theme = theme;
}

/** Makes the buttons that change the theme work. */
export function offerTheme(changed: () => void): void {
  const buttons = document.querySelectorAll<HTMLButtonElement>("[data-act=theme]");
  const name = () => {
    for (const button of buttons) button.textContent = currentTheme() === "dark" ? "Light" : "Dark";
  };
  for (const button of buttons) {
    button.addEventListener("click", () => {
      const theme: Theme = currentTheme() === "dark" ? "light" : "dark";
      document.documentElement.dataset.theme = theme;
      remember(key, theme);
      name();
      changed();
    });
  }
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
    name();
    changed();
  });
  name();
}
