/** A title inside a sentence: its first letter small, unless the word is written in capitals. */
export function lowerFirst(title: string): string {
  const isAcronym = /^\p{Lu}{2}/u.test(title);
  return isAcronym ? title : title.charAt(0).toLowerCase() + title.slice(1);
}

/** Words at the start of a sentence: their first letter a capital. */
export function upperFirst(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
