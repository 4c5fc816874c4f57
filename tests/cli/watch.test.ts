import { mkdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { basename } from "node:path";
import type { BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type PageServer, servePages } from "../../lib/report/page-server.js";
import { FolderWatch } from "../../lib/workspace/folder-watch.js";
import { type Running, startProgram } from "../notebook/bystanders.js";
import { type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";
import { browserFile, openBrowser } from "../report/browser.js";

const findings = "notebooks/states-two-findings.ipynb";

/** Asks as a browser would, with any path and host. */
function ask(
  address: string,
  path: string,
  host?: string,
): Promise<{ status: number; text: string }> {
  const { hostname, port } = new URL(address);
  const headers = host === undefined ? {} : { host };
  return new Promise((resolve, reject) => {
    request({ hostname, port, path, headers }, (response) => {
      let text = "";
      response.on("data", (part) => {
        text += part;
      });
      response.on("end", () => resolve({ status: response.statusCode!, text }));
    })
      .on("error", reject)
      .end();
  });
}

describe("the page server of watch", () => {
  let study: TemporaryStudy;
  let server: PageServer;
  beforeAll(async () => {
    study = temporaryStudy([]);
    study.write("out/index.html", "<html><body><p>page</p></body></html>");
    study.write("secret.txt", "not for a page");
    server = (await servePages(study.path("out")))!;
  });
  afterAll(async () => {
    await server.close();
    study.remove();
  });

  it("serves the pages with the listening script, on the loopback alone", async () => {
    expect(server.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    const { status, text } = await ask(server.address, "/");
    expect(status).toBe(200);
    expect(text).toBe('<html><body><p>page</p><script src="/-/news.js"></script></body></html>');
    expect((await ask(server.address, "/-/news.js")).text).toContain("EventSource");
  });

  it.each(["/../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/%00", "/%", "/none.html"])(
    "does not answer %s",
    async (path) => {
      const { status, text } = await ask(server.address, path);
      expect(status).toBe(404);
      expect(text).toBe("");
    },
  );

  it.each(["//", "http://[", "//elsewhere/index.html"])("outlives the request %s", async (path) => {
    expect((await ask(server.address, path)).status).toBe(404);
    expect((await ask(server.address, "/")).status).toBe(200);
  });

  it("does not follow a link out of the folder", async () => {
    symlinkSync(study.path("secret.txt"), study.path("out/link.txt"));
    expect((await ask(server.address, "/link.txt")).status).toBe(404);
  });

  it("does not answer to another name", async () => {
    expect((await ask(server.address, "/", "study.example.org")).status).toBe(403);
  });

  it("tells that a wanted port is taken", async () => {
    const { port } = new URL(server.address);
    expect(await servePages(study.path("out"), Number(port))).toBeUndefined();
  });
});

describe("the folders that watch looks at", () => {
  it("are looked at again when they are replaced as a whole", async () => {
    const study = temporaryStudy([]);
    const folder = study.path("data/block");
    mkdirSync(folder, { recursive: true });
    const seen: string[] = [];
    const watch = new FolderWatch(study.path("data"), (path) => seen.push(basename(path)));
    rmSync(folder, { recursive: true });
    mkdirSync(folder);
    await expect.poll(() => seen).toContain("block");
    await expect
      .poll(() => {
        writeFileSync(`${folder}/trials.csv`, `${seen.length}\n`);
        return seen;
      })
      .toContain("trials.csv");
    watch.close();
    study.remove();
  });
});

describe.skipIf(browserFile === undefined)(
  "tautline watch in a browser (skipped: chromium absent)",
  () => {
    let study: TemporaryStudy;
    let running: Running;
    let browser: BrowserContext;

    beforeAll(async () => {
      study = temporaryStudy(["states-two-findings"]);
      running = startProgram(study, ["watch", "--json"]);
      browser = await openBrowser();
    });
    afterAll(async () => {
      await browser.close();
      running.child.kill("SIGINT");
      await running.ended;
      study.remove();
    });

    it("reloads the page after a save to the data, and shows a fault beside its cell", async () => {
      await running.says(/"ran":\[\{"notebook"/);
      const address = /http:\/\/127\.0\.0\.1:\d+\//.exec(running.err())![0];
      const page = await browser.newPage();
      await page.goto(`${address}states-two-findings.html`);
      const highest = page.locator("section.finding", { hasText: "Highest grip" });
      await expect.poll(() => highest.textContent()).toMatch(/grip 43\skgf/);

      study.write("data/grip.csv", "kgf\n41.5\n47\n40.2\n");
      await expect.poll(() => highest.textContent(), { timeout: 50_000 }).toMatch(/grip 47\skgf/);

      const good = study.read(findings);
      study.write(findings, good.replace("Math.max(...kgf)", "Math.max(...kfg)"));
      const box = page.locator("#states-two-findings-cell-4 pre.fault");
      await box.waitFor({ timeout: 50_000 });
      expect(await box.textContent()).toContain(
        "cell 4, line 1: Type error: Cannot find name 'kfg'",
      );

      study.write(findings, good);
      await expect.poll(() => page.locator("pre.fault").count(), { timeout: 50_000 }).toBe(0);
    }, 240_000);
  },
);
