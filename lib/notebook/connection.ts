import { randomBytes } from "node:crypto";
import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** The channels of a Jupyter kernel that get an address each. */
export const channels = ["shell", "iopub", "stdin", "control", "hb"] as const;
/** Name of one channel of the Jupyter protocol. */
export type Channel = (typeof channels)[number];

/** Where a kernel listens, and the key that signs what is said to it. */
export interface Connection {
  /** Private folder (mode 0700) that holds the connection file and the sockets. */
  readonly folder: string;
  /** Path of the connection file, which only this user can read (mode 0600). */
  readonly file: string;
  /** Random key for the HMAC-SHA256 signatures of messages: 64 hexadecimal digits. */
  readonly key: string;
  /** The address of a channel as ZeroMQ expects it, such as tcp://127.0.0.1:5001. */
  address(channel: Channel): string;
}

/** Unix sockets ("ipc") or ports of the loopback ("tcp"). */
export type Transport = "ipc" | "tcp";

/** Picks ports of the loopback that nobody listens on. */
export type ChoosePorts = (count: number) => Promise<number[]>;

/** A Unix socket's path must fit in 104 bytes on the strictest system we know (macOS). */
const longestSocketPath = 100;
const folderPattern = /^tautline-(\d+)-[A-Za-z0-9]+$/;

/** Unix sockets in a private folder where the system has them, else ports of the loopback. */
function preferredTransport(folder: string): Transport {
  const fits = join(folder, "kernel-1").length <= longestSocketPath;
  return process.platform !== "win32" && fits ? "ipc" : "tcp";
}

/** Makes the private folder, picks addresses and a key, and writes the connection file (mode 0600). */
export async function openConnection(
  wanted?: Transport,
  choosePorts: ChoosePorts = freePorts,
): Promise<Connection> {
  const folder = mkdtempSync(join(tmpdir(), `tautline-${process.pid}-`));
  const transport = wanted ?? preferredTransport(folder);
  const ip = transport === "ipc" ? join(folder, "kernel") : "127.0.0.1";
  const ports = transport === "ipc" ? [1, 2, 3, 4, 5] : await choosePorts(channels.length);
  const key = randomBytes(32).toString("hex");
  const file = join(folder, "connection.json");
  const described: Record<string, unknown> = { transport, ip, key, kernel_name: "tautline" };
  described.signature_scheme = "hmac-sha256";
  channels.forEach((channel, i) => {
    described[`${channel}_port`] = ports[i];
  });
  try {
    writeFileSync(file, JSON.stringify(described), { mode: 0o600, flag: "wx" });
  } catch (error) {
    rmSync(folder, { recursive: true, force: true }); // a full disk, most likely
    throw error;
  }
  const address = (channel: Channel) => `${transport}://${ip}:${ports[channels.indexOf(channel)]}`;
  return { folder, file, key, address };
}

/** Removes the connection file and the sockets; safe to call twice. */
export function closeConnection(connection: Connection): void {
  rmSync(connection.folder, { recursive: true, force: true });
}

/** Ports that were free a moment ago. Another program may take one: the kernel then asks again. */
export async function freePorts(count: number): Promise<number[]> {
  const servers = Array.from({ length: count }, () => createServer());
  const ports = await Promise.all(
    servers.map(
      (server) =>
        new Promise<number>((resolve, reject) => {
          server.once("error", reject);
          server.listen(0, "127.0.0.1", () => resolve((server.address() as { port: number }).port));
        }),
    ),
  );
  await Promise.all(servers.map((server) => new Promise((resolve) => server.close(resolve))));
  return ports;
}

/** Removes the private folders that a run left behind when the whole machine stopped under it. */
export function sweepConnections(folder = tmpdir()): number {
  const userId = process.getuid?.();
  let removed = 0;
  for (const name of readdirSync(folder)) {
    const owner = folderPattern.exec(name)?.[1];
    if (!owner || isAlive(Number(owner))) continue;
    try {
      if (userId !== undefined && statSync(join(folder, name)).uid !== userId) continue;
      rmSync(join(folder, name), { recursive: true, force: true });
      removed++;
    } catch {
      // somebody else removed it first
    }
  }
  return removed;
}

/** Whether a process with this id exists, ours or not. */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
