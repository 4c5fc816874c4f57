/** Names of files that may hold rows. */
export const dataFile: RegExp = /\.(csv|tsv|tab|txt|dat|xlsx?|xlsm|ods)$/i;
