/** The same value, frozen all the way down. Maps stay maps: their type alone keeps them from being written. */
export function deepFreeze<T>(value: T): T {
  const open: unknown[] = [value];
  while (open.length > 0) {
    const next = open.pop();
    if (typeof next !== "object" || next === null || Object.isFrozen(next)) continue;
    Object.freeze(next);
    if (next instanceof Map) for (const inner of next.values()) open.push(inner);
    else for (const inner of Object.values(next)) open.push(inner);
  }
  return value;
}
