import { createReadStream, existsSync, readFileSync, realpathSync, statSync } from "node:fs";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import { extname, join, normalize, sep } from "node:path";
import { present } from "../entry.js";
import { markup } from "../markup.js";
import { pageScript } from "./page-script.js";

/** What the open pages are told after a rebuild. */
export interface PageNews {
  /** Something that stopped the whole rebuild. */
  readonly problem?: string;
  readonly faults: readonly {
    readonly notebook: string;
    /** Id of the cell's place in its page; null for a fault of the whole notebook. */
    readonly place: string | null;
    readonly text: string;
  }[];
}

/** Serves a folder to browsers on this machine and tells them when it changed. */
export interface PageServer {
  readonly address: string;
  tell(news: PageNews): void;
  close(): Promise<void>;
}

const host = "127.0.0.1";
const eventsPath = "/-/news";
const scriptPath = "/-/news.js";
const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".csv": "text/csv; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
};

/** @returns undefined when the wanted port is taken */
export async function servePages(folder: string, port = 0): Promise<PageServer | undefined> {
  const pages = new Pages(folder);
  const server = createServer((request, response) => pages.answer(request, response));
  const listening = await new Promise<boolean>((resolve, reject) => {
    server.once("error", (error: NodeJS.ErrnoException) =>
      error.code === "EADDRINUSE" ? resolve(false) : reject(error),
    );
    server.listen(port, host, () => resolve(true));
  });
  if (!listening) return undefined;
  const { port: chosen } = server.address() as { port: number };
  pages.port = chosen;
  return {
    address: `http://${host}:${chosen}/`,
    tell: (news) => pages.tell(news),
    close: () => closeServer(server, pages),
  };
}

async function closeServer(server: Server, pages: Pages): Promise<void> {
  pages.hangUp();
  server.closeAllConnections();
  await new Promise((resolve) => server.close(resolve));
}

/** The path of a request, without its query; only this server is asked, whatever host it names. */
function pathOf(url: string): string {
  return new URL(url.startsWith("/") ? `http://${host}${url}` : url).pathname;
}

class Pages {
  port = 0;
  private readonly listeners = new Set<ServerResponse>();
  private news: PageNews = { faults: [] };
  private turn = 0;
  private readonly folder: string;

  constructor(folder: string) {
    this.folder = folder;
  }

  tell(news: PageNews): void {
    this.news = news;
    this.turn++;
    for (const listener of this.listeners) listener.write(this.message());
  }

  hangUp(): void {
    for (const listener of this.listeners) listener.end();
  }

  answer(request: IncomingMessage, response: ServerResponse): void {
    if (!this.isForUs(request) || request.method !== "GET") {
      response.writeHead(403).end();
      return;
    }
    try {
      this.answerFor(pathOf(request.url ?? "/"), response);
    } catch {
      // no path at all, or a page that was replaced while it was read
      if (!response.headersSent) response.writeHead(404);
      response.end();
    }
  }

  private answerFor(path: string, response: ServerResponse): void {
    if (path === eventsPath) this.listen(response);
    else if (path === scriptPath) send(response, present(types[".js"]), pageScript);
    else this.sendFile(path, response);
  }

  /** Another site that has its name point to this machine must not read the pages. */
  private isForUs({ headers }: IncomingMessage): boolean {
    return headers.host === `${host}:${this.port}` || headers.host === `localhost:${this.port}`;
  }

  private listen(response: ServerResponse): void {
    response.writeHead(200, { "content-type": "text/event-stream", "cache-control": "no-store" });
    response.write(this.message());
    this.listeners.add(response);
    response.on("close", () => this.listeners.delete(response));
  }

  private message(): string {
    return `data: ${JSON.stringify({ turn: this.turn, ...this.news })}\n\n`;
  }

  private sendFile(path: string, response: ServerResponse): void {
    const file = this.fileFor(path);
    if (file === undefined) {
      if (path === "/") send(response, present(types[".html"]), withScript(waitingPage));
      else response.writeHead(404).end();
      return;
    }
    const type = types[extname(file)] ?? "application/octet-stream";
    if (extname(file) === ".html") {
      send(response, type, withScript(readFileSync(file, "utf8")));
      return;
    }
    response.writeHead(200, { "content-type": type, "cache-control": "no-store" });
    createReadStream(file)
      .on("error", () => response.destroy())
      .pipe(response);
  }

  private fileFor(path: string): string | undefined {
    const name = normalize(decodeURIComponent(path === "/" ? "/index.html" : path));
    const file = join(this.folder, name);
    if (name.includes("\0") || !existsSync(file) || !statSync(file).isFile()) return undefined;
    // a link in the folder may lead elsewhere
    const inside = realpathSync(file).startsWith(realpathSync(this.folder) + sep);
    return inside ? file : undefined;
  }
}

const waitingPage = String(
  markup`<!doctype html><html lang="en"><title>Tautline</title><body><main><p>The report is being made.</p></main></body></html>`,
);

/** The page as it is on the disk asks for nothing; served here it listens for news. */
function withScript(html: string): string {
  return html
    .replace("connect-src 'none'", "connect-src 'self'")
    .replace(/<\/body>/i, String(markup`<script src="${scriptPath}"></script></body>`));
}

function send(response: ServerResponse, type: string, text: string): void {
  response.writeHead(200, {
    "content-type": type,
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
  });
  response.end(text);
}
