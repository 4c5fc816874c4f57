import { randomBytes } from "node:crypto";
import { createReadStream, existsSync, readFileSync, realpathSync, statSync } from "node:fs";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import { extname, join, normalize, sep } from "node:path";
import { present } from "../entry.js";
import { markup } from "../markup.js";
import type { PagePiece } from "./live-page.js";
import { pageScript } from "./page-script.js";

/** What the open pages are told after a rebuild. */
export interface PageNews {
  /** Something that stopped the whole rebuild. */
  readonly problem?: string;
  /** Failed notebooks of the rebuild; empty when all ran. */
  readonly faults: readonly {
    readonly notebook: string;
    /** Id of the cell's place in its page; null for a fault of the whole notebook. */
    readonly place: string | null;
    readonly text: string;
  }[];
}

/** What an open page of a notebook is told while its cells run again. */
export interface LiveNews {
  /** Name of the notebook's page, without extension. */
  readonly page: string;
  /** Everything below the title's line, when the page has other cells than before. */
  readonly body?: string | undefined;
  /** Parts that take the place of those with the same id. */
  readonly pieces: readonly PagePiece[];
  /** The sentence at the top; left out when it stays. */
  readonly answer?: string | undefined;
  /** What is wrong now, all of it, each beside the cell with this id or above all cells. */
  readonly notes: readonly { readonly place: string | null; readonly text: string }[];
  /** A save made what the last run from top to bottom said out of date. */
  readonly begins?: boolean | undefined;
  /** What the live notebook does, or how it compares with its record, in a sentence. */
  readonly state: string;
}

/** Serves a folder to browsers on this machine and tells them when it changed. */
export interface PageServer {
  /** Where the pages are; its path is a secret that only this terminal shows. */
  readonly address: string;
  /** Sends news to all open pages; without a problem or fault they load again. */
  tell(news: PageNews): void;
  /** Shows in the open pages of a notebook what its cells show now. */
  live(news: LiveNews): void;
  /** The files hold what the cells of this page show: only the sentence of its state stays. */
  settle(page: string, state: string): void;
  /** Ends all connections and frees the port. */
  close(): Promise<void>;
}

const host = "127.0.0.1";
const newsName = "-/news";
const scriptName = "-/news.js";
const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".csv": "text/csv; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
};

/**
 * On every answer: no other site may read it, frame it, or take it for another kind of file, and the
 * secret in the address is not passed on.
 */
const closedHeaders: Readonly<Record<string, string>> = {
  "cache-control": "no-store",
  "cross-origin-resource-policy": "same-origin",
  "cross-origin-opener-policy": "same-origin",
  "content-security-policy": "frame-ancestors 'none'",
  "x-frame-options": "DENY",
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
};

/**
 * @param onOpen called with the name of each page that is opened and listens
 * @returns undefined when the wanted port is taken
 */
export async function servePages(
  folder: string,
  port = 0,
  onOpen: (page: string) => void = () => {},
): Promise<PageServer | undefined> {
  const pages = new Pages(folder, onOpen);
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
    address: `http://${host}:${chosen}${pages.start}`,
    tell: (news) => pages.tell(news),
    live: (news) => pages.live(news),
    settle: (page, state) => pages.settle(page, state),
    close: () => closeServer(server, pages),
  };
}

async function closeServer(server: Server, pages: Pages): Promise<void> {
  pages.hangUp();
  server.closeAllConnections();
  await new Promise((resolve) => server.close(resolve));
}

/** The address of a request; only this server is asked, whatever host it names. */
function addressOf(url: string): URL {
  return new URL(url.startsWith("/") ? `http://${host}${url}` : url);
}

class Pages {
  port = 0;
  /** How every path begins: another site, or another user's program, cannot guess it. */
  readonly start = `/${randomBytes(16).toString("hex")}/`;
  private readonly listeners = new Set<ServerResponse>();
  private news: PageNews = { faults: [] };
  private turn = 0;
  private readonly folder: string;
  private readonly onOpen: (page: string) => void;
  /** What the open page of each live notebook shows beyond its file. */
  private readonly beyond = new Map<string, LiveNews>();

  constructor(folder: string, onOpen: (page: string) => void) {
    this.folder = folder;
    this.onOpen = onOpen;
  }

  live(news: LiveNews): void {
    this.beyond.set(news.page, together(this.beyond.get(news.page), news));
    for (const listener of this.listeners) listener.write(liveMessage(news));
  }

  settle(page: string, state: string): void {
    const news = { page, pieces: [], notes: [], state };
    this.beyond.set(page, news);
    for (const listener of this.listeners) listener.write(liveMessage(news));
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
    for (const [name, value] of Object.entries(closedHeaders)) response.setHeader(name, value);
    if (!this.isForUs(request)) {
      response.writeHead(403).end();
      return;
    }
    if (request.method !== "GET" && request.method !== "HEAD") {
      response.writeHead(405, { allow: "GET, HEAD" }).end();
      return;
    }
    try {
      const { pathname, searchParams } = addressOf(request.url ?? "/");
      this.answerFor(pathname, searchParams.get("page") ?? "", request.method === "HEAD", response);
    } catch {
      // no path at all, or a page that was replaced while it was read
      if (!response.headersSent) response.writeHead(404);
      response.end();
    }
  }

  private answerFor(path: string, page: string, headOnly: boolean, response: ServerResponse): void {
    if (!path.startsWith(this.start)) {
      response.writeHead(404).end();
      return;
    }
    const name = path.slice(this.start.length);
    if (name === newsName && !headOnly) this.listen(page, response);
    else if (name === scriptName) send(response, present(types[".js"]), pageScript);
    else this.sendFile(name, headOnly, response);
  }

  /**
   * Only a page of this server, or the user who opens its address, may ask: the name in Host is this
   * machine's, so that another site's name cannot be pointed here, and the browser says that no other
   * site stands behind the request.
   */
  private isForUs({ headers }: IncomingMessage): boolean {
    const names = [`${host}:${this.port}`, `localhost:${this.port}`];
    const { host: asked, origin } = headers;
    if (asked === undefined || !names.includes(asked)) return false;
    if (origin !== undefined && origin !== `http://${asked}`) return false;
    const site = headers["sec-fetch-site"] ?? "none";
    return site === "same-origin" || site === "none";
  }

  private listen(page: string, response: ServerResponse): void {
    response.writeHead(200, { "content-type": "text/event-stream" });
    response.write(this.message());
    const beyond = this.beyond.get(page);
    if (beyond) response.write(liveMessage({ ...beyond, begins: false }));
    this.listeners.add(response);
    response.on("close", () => this.listeners.delete(response));
    this.onOpen(page);
  }

  private message(): string {
    return `data: ${JSON.stringify({ turn: this.turn, ...this.news })}\n\n`;
  }

  private sendFile(name: string, headOnly: boolean, response: ServerResponse): void {
    const file = this.fileFor(name || "index.html");
    if (file === undefined) {
      if (name === "") send(response, present(types[".html"]), this.withScript(waitingPage));
      else response.writeHead(404).end();
      return;
    }
    const type = types[extname(file)] ?? "application/octet-stream";
    if (extname(file) === ".html") {
      send(response, type, this.withScript(readFileSync(file, "utf8")));
      return;
    }
    response.writeHead(200, { "content-type": type });
    if (headOnly) response.end();
    else
      createReadStream(file)
        .on("error", () => response.destroy())
        .pipe(response);
  }

  /** The page as it is on the disk asks for nothing; served here it listens for news. */
  private withScript(html: string): string {
    const script = String(markup`<script src="${this.start}${scriptName}"></script></body>`);
    return html.replace("connect-src 'none'", "connect-src 'self'").replace(/<\/body>/i, script);
  }

  /** A file of the report; hidden files are its own notes, or somebody's. */
  private fileFor(path: string): string | undefined {
    const name = normalize(decodeURIComponent(path));
    if (name.includes("\0") || name.split(/[\\/]/).some((part) => part.startsWith("."))) return;
    const file = join(this.folder, name);
    if (!existsSync(file) || !statSync(file).isFile()) return undefined;
    // a link in the folder may lead elsewhere
    const inside = realpathSync(file).startsWith(realpathSync(this.folder) + sep);
    return inside ? file : undefined;
  }
}

function liveMessage(news: LiveNews): string {
  return `event: live\ndata: ${JSON.stringify(news)}\n\n`;
}

/** News on top of earlier news, for a page that is opened later. */
function together(earlier: LiveNews | undefined, news: LiveNews): LiveNews {
  if (!earlier || news.body !== undefined) return news;
  const pieces = new Map([...earlier.pieces, ...news.pieces].map((piece) => [piece.place, piece]));
  return {
    ...news,
    body: earlier.body,
    pieces: [...pieces.values()],
    answer: news.answer ?? earlier.answer,
  };
}

const waitingPage = String(
  markup`<!doctype html><html lang="en"><title>Tautline</title><body><main><p>The report is being made.</p></main></body></html>`,
);

function send(response: ServerResponse, type: string, text: string): void {
  response.writeHead(200, { "content-type": type });
  response.end(text);
}
