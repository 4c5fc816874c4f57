/** Light or dark: what the reader chose, else what the system prefers. */
type Theme = "light" | "dark";

const key = "tautline-theme";

function chosen(): Theme | undefined {
  try {
    const kept = localStorage.getItem(key);
    return kept === "light" || kept === "dark" ? kept : undefined;
  } catch {
    return undefined; // storage is closed for files in some browsers
  }
}

function keep(theme: Theme): void {
  try {
    localStorage.setItem(key, theme);
  } catch {
    // the choice lasts for this page then
  }
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
      keep(theme);
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
