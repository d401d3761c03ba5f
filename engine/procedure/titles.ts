/** A readable title made from an id: `plug-apart` gives `Plug apart`. */
export function titleOf(id: string): string {
  const words = localName(id).replaceAll(/[-_]+/g, " ").trim();
  return words === "" ? id : words.charAt(0).toUpperCase() + words.slice(1);
}

/** The prefix of the called procedure that an id stands in (`inspect-end/`), empty at the top. */
export function scopeOf(id: string): string {
  return id.slice(0, id.lastIndexOf("/") + 1);
}

/** The id as its own file writes it: `look` of `inspect-end/look`. */
export function localName(id: string): string {
  return id.slice(id.lastIndexOf("/") + 1);
}
