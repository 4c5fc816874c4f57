import { mkdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { type IncomingHttpHeaders, type OutgoingHttpHeaders, request } from "node:http";
import { basename } from "node:path";
import type { BrowserContext } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type PageServer, servePages } from "../../lib/report/page-server.js";
import { FolderWatch } from "../../lib/workspace/folder-watch.js";
import { type Running, startProgram } from "../notebook/bystanders.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";
import { browserFile, openBrowser } from "../report/browser.js";

const live = "notebooks/live.ipynb";

/** A cell that keeps state where nobody sees it: what it has once set, it leaves. */
const hiding = (kgf: number) =>
  `import { env } from "node:process";\nenv.KEPT ??= "${kgf}";\nconsole.log("kept", env.KEPT);`;
const liveCells = (kgf: number, kept = 41) => [
  `const kgf = ${kgf};`,
  'console.log("lead", kgf, "kgf")',
  hiding(kept),
];

const findings = "notebooks/states-two-findings.ipynb";

interface Reply {
  status: number;
  text: string;
  headers: IncomingHttpHeaders;
}

/** Asks as a browser would, with any path below the secret one, headers and method. */
function ask(
  address: string,
  path: string,
  headers: OutgoingHttpHeaders = {},
  method = "GET",
): Promise<Reply> {
  const { hostname, port, pathname } = new URL(address);
  const whole = `${pathname.slice(0, -1)}${path}`;
  return new Promise((resolve, reject) => {
    request({ hostname, port, path: whole, headers, method }, (response) => {
      let text = "";
      response.on("data", (part) => {
        text += part;
      });
      response.on("end", () =>
        resolve({ status: response.statusCode!, text, headers: response.headers }),
      );
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
    study.write("out/assets/trials.csv", "golfer,grip\n");
    for (const hidden of [".written.json", "assets/.hidden", ".tautline/runs.json"])
      study.write(`out/${hidden}`, "{}");
    study.write("secret.txt", "not for a page");
    server = (await servePages(study.path("out")))!;
  });
  afterAll(async () => {
    await server.close();
    study.remove();
  });

  it("serves the pages with the listening script, on the loopback alone", async () => {
    expect(server.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/[0-9a-f]{32}\/$/);
    const start = new URL(server.address).pathname;
    const { status, text } = await ask(server.address, "/");
    expect(status).toBe(200);
    expect(text).toBe(
      `<html><body><p>page</p><script src="${start}-/news.js"></script></body></html>`,
    );
    expect((await ask(server.address, "/-/news.js")).text).toContain("EventSource");
  });

  it.each([
    "/../secret.txt",
    "/../out/index.html",
    "/%2e%2e/secret.txt",
    "/..%2fsecret.txt",
    "/%00",
    "/%",
    "/none.html",
  ])("does not answer %s", async (path) => {
    const { status, text } = await ask(server.address, path);
    expect(status).toBe(404);
    expect(text).toBe("");
  });

  it.each(["//", "http://[", "//elsewhere/index.html"])("outlives the request %s", async (path) => {
    const { origin } = new URL(server.address);
    expect((await ask(`${origin}/`, path)).status).toBe(404);
    expect((await ask(server.address, "/")).status).toBe(200);
  });

  it("answers nothing outside its secret path", async () => {
    const { origin } = new URL(server.address);
    const other = `${origin}/${"0".repeat(32)}/`;
    for (const path of ["/", "/index.html", "/-/news", "/-/news.js", "/assets/trials.csv"]) {
      for (const start of [`${origin}/`, other]) {
        const { status, text } = await ask(start, path);
        expect([status, text]).toEqual([404, ""]);
      }
    }
    const again = (await servePages(study.path("out")))!;
    expect(new URL(again.address).pathname).not.toBe(new URL(server.address).pathname);
    await again.close();
  });

  it.each([
    [
      "a script tag of another site",
      { "sec-fetch-site": "cross-site", "sec-fetch-dest": "script" },
    ],
    ["a page at another port", { "sec-fetch-site": "same-site" }],
    ["a fetch of another site", { origin: "https://evil.example" }],
    ["a page without an origin of its own", { origin: "null" }],
    ["the same machine over another scheme", { origin: "https://127.0.0.1" }],
    ["a name pointed to this machine", { host: "study.example.org" }],
    ["this machine's name without the port", { host: "127.0.0.1" }],
  ])("does not answer to %s", async (_, headers) => {
    for (const path of ["/", "/assets/trials.csv", "/-/news", "/-/news.js"]) {
      const { status, text } = await ask(server.address, path, headers);
      expect([status, text]).toEqual([403, ""]);
    }
  });

  it("answers to its own pages and to an address that was typed", async () => {
    const { host, origin } = new URL(server.address);
    const own = { host, origin, "sec-fetch-site": "same-origin" };
    expect((await ask(server.address, "/assets/trials.csv", own)).text).toBe("golfer,grip\n");
    expect((await ask(server.address, "/", { "sec-fetch-site": "none" })).status).toBe(200);
  });

  it.each(["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])("refuses %s", async (method) => {
    const { status, headers } = await ask(server.address, "/index.html", {}, method);
    expect([status, headers.allow]).toEqual([405, "GET, HEAD"]);
  });

  it("answers HEAD without the file, and closes every answer to other sites", async () => {
    const head = await ask(server.address, "/assets/trials.csv", {}, "HEAD");
    expect([head.status, head.text]).toEqual([200, ""]);
    expect((await ask(server.address, "/", {}, "HEAD")).text).toBe("");
    for (const path of ["/", "/assets/trials.csv", "/-/news.js", "/none.html"]) {
      for (const method of ["GET", "HEAD"]) {
        const { headers } = await ask(server.address, path, {}, method);
        expect(headers).toMatchObject({
          "cross-origin-resource-policy": "same-origin",
          "x-content-type-options": "nosniff",
          "x-frame-options": "DENY",
          "content-security-policy": "frame-ancestors 'none'",
          "referrer-policy": "no-referrer",
          "cache-control": "no-store",
        });
      }
    }
  });

  it.each(["/.written.json", "/assets/.hidden", "/.tautline/runs.json", "/%2ewritten.json"])(
    "keeps its own notes and hidden files: %s",
    async (path) => {
      const { status, text } = await ask(server.address, path);
      expect([status, text]).toEqual([404, ""]);
    },
  );

  it("does not follow a link out of the folder", async () => {
    symlinkSync(study.path("secret.txt"), study.path("out/link.txt"));
    expect((await ask(server.address, "/link.txt")).status).toBe(404);
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
      study.write(live, notebookOf(...liveCells(41)));
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
      const address = /http:\/\/127\.0\.0\.1:\d+\/\w+\//.exec(running.err())![0];
      const page = await browser.newPage();
      await page.goto(`${address}states-two-findings.html`);
      const highest = page.locator("section.finding", { hasText: "Highest grip" });
      await expect.poll(() => highest.textContent()).toMatch(/grip\s*43\skgf/);

      study.write("data/grip.csv", "kgf\n41.5\n47\n40.2\n");
      await expect.poll(() => highest.textContent(), { timeout: 75_000 }).toMatch(/grip\s*47\skgf/);

      const good = study.read(findings);
      study.write(findings, good.replace("Math.max(...kgf)", "Math.max(...kfg)"));
      const box = page.locator("#states-two-findings-cell-4 pre.fault");
      await box.waitFor({ timeout: 75_000 });
      expect(await box.textContent()).toContain(
        "cell 4, line 1: Type error: Cannot find name 'kfg'",
      );

      study.write(findings, good);
      await expect.poll(() => page.locator("pre.fault").count(), { timeout: 75_000 }).toBe(0);
      await page.close();
    }, 240_000);

    it("shows what the changed cells show before the notebook is recorded, and which cell hid state", async () => {
      const address = /http:\/\/127\.0\.0\.1:\d+\/\w+\//.exec(running.err())![0];
      const page = await browser.newPage();
      await page.goto(`${address}live.html`);
      const state = page.locator(".live-state");
      const patient = { timeout: 75_000 };
      const printed = (cell: number) =>
        page.locator(`#live-cell-${cell} pre.printed`).textContent();
      await expect.poll(() => state.textContent(), patient).toMatch(/^Live kernel ready/);

      await page.evaluate(() => document.body.classList.add("not-loaded-again"));
      study.write(live, notebookOf(...liveCells(42)));
      study.write(live, notebookOf(...liveCells(43)));
      await expect.poll(() => printed(2), patient).toBe("lead 43 kgf\n");
      expect(await page.locator("body.not-loaded-again").count()).toBe(1);
      await expect.poll(() => state.textContent(), patient).toMatch(/^Recorded: .* agrees\.$/);
      expect(await printed(2)).toBe("lead 43 kgf\n");

      study.write(live, notebookOf(...liveCells(43), "console.log(kgf + 1)"));
      await expect.poll(() => page.locator("#live-cell-4").count(), patient).toBe(1);
      study.write(live, notebookOf(...liveCells(43, 50), "console.log(kgf + 1)"));
      await expect
        .poll(() => state.textContent(), patient)
        .toContain("cell 3 showed something else");
      await expect.poll(() => printed(3), patient).toBe("kept 50\n");
      expect(running.err()).toContain("live.ipynb: Recorded, but cell 3 showed something else");

      study.write(live, notebookOf("const kgf = 43;", "console.log(kfg)"));
      const note = page.locator("#live-cell-2 pre.fault");
      await note.waitFor(patient);
      expect(await note.textContent()).toContain("Cannot find name 'kfg'");
    }, 240_000);
  },
);
