/** The public names of all entries in one place: no name is exported by two of them with two meanings. */
export * from "../lib/entries/learn.js";
export * from "../lib/entries/simulate.js";
export * from "../lib/entries/stats.js";
export * from "../lib/entries/units.js";
export * from "../lib/index.js";
