import { identityOf, type JournalEntry, type JournalEvent } from "../journal.js";

/** Why an event could not be stored. */
export type StoreFault = "recorded-elsewhere" | "full" | "closed";

/** An event that was not stored; nothing of it remains in the journal. */
export class NotStored extends Error {
  readonly fault: StoreFault;

  constructor(fault: StoreFault, cause: unknown) {
    super(fault, { cause });
    this.fault = fault;
  }
}

const entries = "entries";
const trials = "trials";
const facts = "facts";

/**
 * The journal in the browser's own database. An event counts as stored when its transaction is
 * complete; two tabs write into one journal, and the second cannot record the same trial again.
 */
export class JournalStore {
  private readonly database: IDBDatabase;
  private readonly channel: BroadcastChannel;

  private constructor(database: IDBDatabase, channel: BroadcastChannel) {
    this.database = database;
    this.channel = channel;
  }

  static async open(name: string, changed: () => void): Promise<JournalStore> {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(entries, { autoIncrement: true });
      request.result.createObjectStore(trials);
      request.result.createObjectStore(facts);
    };
    const database = await settled(request);
    const channel = new BroadcastChannel(name);
    channel.onmessage = changed;
    return new JournalStore(database, channel);
  }

  /** All entries, in the order in which they were stored. */
  async all(): Promise<JournalEntry[]> {
    const store = this.database.transaction(entries).objectStore(entries);
    const [keys, values] = await Promise.all([
      settled(store.getAllKeys()),
      settled(store.getAll()),
    ]);
    return values.map((value: Omit<JournalEntry, "number">, i) => ({
      number: Number(keys[i]),
      ...value,
    }));
  }

  /**
   * Stores one event and resolves when it is on the disk.
   * @throws NotStored when another tab recorded the same trial, or the storage is full or closed
   */
  async add(what: JournalEvent, at: string, replaces?: JournalEvent): Promise<void> {
    const work = this.database.transaction([entries, trials], "readwrite", {
      durability: "strict",
    });
    try {
      // A correction may move a row to another trial, and a withdrawal frees its trial.
      if (replaces?.event === "row")
        work.objectStore(trials).delete(identityOf(replaces.file, replaces.row));
      const row = this.rowOf(what, replaces);
      if (row) work.objectStore(trials).add(1, row);
      work.objectStore(entries).add({ at, what });
    } catch (error) {
      work.abort();
      throw new NotStored(faultOf(error instanceof DOMException ? error : null), error);
    }
    await completed(work);
    this.channel.postMessage("stored");
  }

  private rowOf(what: JournalEvent, replaces: JournalEvent | undefined): string | undefined {
    if (what.event === "row") return identityOf(what.file, what.row);
    if (what.event === "corrected" && replaces?.event === "row")
      return identityOf(replaces.file, what.row);
    return undefined;
  }

  /** A fact about this device, made once. */
  async fact(name: string, make: () => string): Promise<string> {
    const store = this.database.transaction(facts, "readwrite").objectStore(facts);
    const known = (await settled(store.get(name))) as string | undefined;
    if (known !== undefined) return known;
    const made = make();
    await settled(store.put(made, name));
    return made;
  }

  /** Removes everything that this form stored on this device. */
  async wipe(): Promise<void> {
    const work = this.database.transaction([entries, trials, facts], "readwrite", {
      durability: "strict",
    });
    for (const name of [entries, trials, facts]) work.objectStore(name).clear();
    await completed(work);
    this.channel.postMessage("wiped");
  }
}

function settled<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function completed(work: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    work.oncomplete = () => resolve();
    work.onabort = () => reject(new NotStored(faultOf(work.error), work.error));
  });
}

function faultOf(error: DOMException | null): StoreFault {
  if (error?.name === "ConstraintError") return "recorded-elsewhere";
  return error?.name === "QuotaExceededError" ? "full" : "closed";
}
