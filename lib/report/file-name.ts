/** Longer names are cut: a name, a width and an ending together must fit every file system. */
const mostLetters = 80;
/** Names that Windows keeps for devices, with any ending. */
const device = /^(?:con|prn|aux|nul|conin\$|conout\$|com\d|lpt\d)(?:\.|$)/i;

/**
 * An id as the name of a file and as an anchor: letters, digits, dots, hyphens and underscores, at
 * most 80, no dot or hyphen at either end, none of the device names of Windows. A name that had to be
 * cut or replaced ends with a mark made from the whole id.
 */
export function fileName(id: string): string {
  const plain = id
    .normalize("NFKD")
    .replace(/\p{M}+/gu, "")
    .replace(/[^A-Za-z0-9._-]+/g, "-")
    .replace(/^[-.]+|[-.]+$/g, "");
  if (plain === "" || device.test(plain)) return `id-${markOf(id)}`;
  return plain.length <= mostLetters ? plain : `${plain.slice(0, mostLetters - 9)}-${markOf(id)}`;
}

/** Names for the files of one folder, in the order of the ids; where two would be one file on some system, the later gets a number. */
export function fileNames(ids: readonly string[], taken: readonly string[] = []): string[] {
  const used = new Set(taken.map((name) => name.toLowerCase()));
  return ids.map((id) => {
    const plain = fileName(id);
    let name = plain;
    for (let i = 2; used.has(name.toLowerCase()); i++) name = `${plain}-${i}`;
    used.add(name.toLowerCase());
    return name;
  });
}

/** The name of one file that no other id has, without a look at the others: what is no name in small letters gets a mark. */
export function distinctFileName(id: string): string {
  const name = fileName(id).toLowerCase();
  return name === id ? name : `${name}-${markOf(id)}`;
}

/**
 * Eight digits made from a text, in a page as on disk.
 * @see FNV-1a, 32 bits: Fowler G, Noll LC, Vo K, Eastlake D. The FNV non-cryptographic hash algorithm (from memory)
 */
function markOf(id: string): string {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(id)) hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, "0");
}
