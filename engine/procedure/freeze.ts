/** The same value, frozen all the way down. Maps stay maps: their type alone keeps them from being written. */
export function deepFreeze<T>(value: T): T {
  freeze(value);
  return value;
}

function freeze(value: unknown): void {
  if (typeof value !== "object" || value === null || Object.isFrozen(value)) return;
  Object.freeze(value);
  if (value instanceof Map) for (const inner of value.values()) freeze(inner);
  else if (Array.isArray(value)) for (const inner of value) freeze(inner);
  else for (const key in value) freeze((value as Record<string, unknown>)[key]);
}
