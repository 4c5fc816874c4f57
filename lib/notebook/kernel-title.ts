/** Name under which Jupyter knows the kernel. */
export const kernelName = "tautline";

/** Name of the kernel that a front end shows. */
export const kernelTitle = "Tautline (TypeScript)";
