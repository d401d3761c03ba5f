/** A map that holds the so many entries used last. */
export interface Recent<V> {
  get(key: string): V | undefined;
  set(key: string, value: V): void;
  delete(key: string): void;
}

export function makeRecent<V>(most: number): Recent<V> {
  const entries = new Map<string, V>();
  return {
    get(key) {
      const value = entries.get(key);
      if (value === undefined) return undefined;
      entries.delete(key);
      entries.set(key, value);
      return value;
    },
    set(key, value) {
      entries.delete(key);
      entries.set(key, value);
      const [oldest] = entries.keys();
      if (entries.size > most && oldest !== undefined) entries.delete(oldest);
    },
    delete(key) {
      entries.delete(key);
    },
  };
}
