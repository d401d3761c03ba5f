/**
 * Runs works of the same key one after the other, in the order asked for; works of different keys do not wait
 * for each other.
 */
export function makeTurns(): <T>(key: string, work: () => Promise<T>) => Promise<T> {
  const last = new Map<string, Promise<unknown>>();
  return (key, work) => {
    const before = last.get(key) ?? Promise.resolve();
    const mine = before.then(work, work);
    const settled = mine
      .catch(() => undefined)
      .then(() => {
        if (last.get(key) === settled) last.delete(key);
      });
    last.set(key, settled);
    return mine;
  };
}
