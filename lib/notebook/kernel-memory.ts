import { getHeapStatistics, setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";

/** A collection is due when this many times what the last one left is in use. */
const growth = 1.25;
/** Milliseconds in which the replies to a cell leave before a collection takes the thread. */
const delay = 20;

/**
 * Keeps the memory of a kernel that a person works with near what its cells need. V8 collects when it
 * likes, and a type check leaves megabytes behind: over a day the process would swing between one and
 * three times its need. A collection takes about 0.1 s; it comes after a cell, never within its
 * synchronous code.
 */
export class KernelMemory {
  private readonly collect: () => void;
  private readonly schedule = setTimeout; // a cell may replace it
  private inUse: number;
  private isDue = false;

  constructor() {
    setFlagsFromString("--expose-gc");
    // a context made now has the function; the one of the cells does not get it
    this.collect = runInNewContext("gc");
    this.inUse = inHeap();
  }

  /** To be called when a cell has ended. */
  cellEnded(): void {
    if (this.isDue || inHeap() < growth * this.inUse) return;
    this.isDue = true;
    this.schedule(() => {
      this.isDue = false;
      this.collect();
      this.inUse = inHeap();
    }, delay).unref();
  }
}

function inHeap(): number {
  const { used_heap_size, external_memory } = getHeapStatistics();
  return used_heap_size + external_memory;
}
