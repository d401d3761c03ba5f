type Defined<T> = { readonly [K in keyof T]?: Exclude<T[K], undefined> };

/** The entries that have a value: what an optional property is spread from. */
export function defined<T extends object>(entries: T): Defined<T> {
  const kept: Partial<T> = {};
  for (const key of Object.keys(entries) as (keyof T)[]) {
    if (entries[key] !== undefined) kept[key] = entries[key];
  }
  return kept as Defined<T>;
}
