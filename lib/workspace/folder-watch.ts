import { type FSWatcher, readdirSync, watch } from "node:fs";
import { join, sep } from "node:path";

const ignored =
  /(?:^|[\\/])(?:node_modules|\.git|\.tautline|dist|out|\.ipynb_checkpoints)(?:[\\/]|$)|\.tmp$|~$|\.sw[px]$/;

/**
 * Watches a folder and the folders in it, and reports the path of what was saved, removed or made.
 * Each folder is watched by itself: editors and this program save by renaming, and a watch on a
 * file, which is how Node watches trees on Linux, goes on looking at the file that was replaced.
 */
export class FolderWatch {
  private readonly watchers = new Map<string, FSWatcher>();
  private readonly onChange: (path: string) => void;

  constructor(folder: string, onChange: (path: string) => void) {
    this.onChange = onChange;
    this.add(folder);
  }

  close(): void {
    for (const watcher of this.watchers.values()) watcher.close();
  }

  private add(folder: string): void {
    if (this.watchers.has(folder)) return;
    try {
      const entries = readdirSync(folder, { withFileTypes: true });
      const watcher = watch(folder, (event, name) => this.changed(folder, event, name));
      watcher.on("error", () => this.drop(folder));
      this.watchers.set(folder, watcher);
      for (const entry of entries) {
        if (entry.isDirectory() && !ignored.test(entry.name)) this.add(join(folder, entry.name));
      }
    } catch {
      // not a folder, or gone again
    }
  }

  private changed(folder: string, event: string, name: string | null): void {
    if (name === null || ignored.test(name)) return;
    const path = join(folder, name);
    if (event === "rename") {
      this.dropTree(path); // a watcher goes on looking at the folder that was replaced
      this.add(path);
    }
    this.onChange(path);
  }

  private dropTree(folder: string): void {
    for (const watched of [...this.watchers.keys()])
      if (watched === folder || watched.startsWith(folder + sep)) this.drop(watched);
  }

  private drop(folder: string): void {
    this.watchers.get(folder)?.close();
    this.watchers.delete(folder);
  }
}
