/** The entry of a record under an id, never one inherited: `constructor` is an ordinary id. */
export function own<T>(record: Readonly<Record<string, T>>, id: string): T | undefined {
  return Object.hasOwn(record, id) ? record[id] : undefined;
}

/** The record with one entry set; `__proto__` is an ordinary id. */
export function withEntry<T>(
  record: Readonly<Record<string, T>>,
  id: string,
  value: T,
): Readonly<Record<string, T>> {
  return { ...record, [id]: value };
}
