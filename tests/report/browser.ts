import { existsSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type BrowserContext, chromium, type Page } from "playwright-core";

/** The browser that the tests look with; without it they say so and are skipped. */
export const browserFile = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
].find((path) => existsSync(path));

/** A headless browser with a profile of its own and no background traffic. */
export function openBrowser(
  options: { width?: number; height?: number; dark?: boolean; script?: boolean } = {},
): Promise<BrowserContext> {
  const { width = 1200, height = 900, dark = false, script = true } = options;
  return chromium.launchPersistentContext(mkdtempSync(join(tmpdir(), "browser-")), {
    executablePath: browserFile!,
    headless: true,
    viewport: { width, height },
    colorScheme: dark ? "dark" : "light",
    javaScriptEnabled: script,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** Every error that a page reports, and every request that leaves the disk. */
export function watched(page: Page): string[] {
  const seen: string[] = [];
  page.on("pageerror", (error) => seen.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error") seen.push(message.text());
  });
  page.on("request", (request) => {
    if (!/^(file|data|blob):/.test(request.url())) seen.push(request.url());
  });
  return seen;
}
