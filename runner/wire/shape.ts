/**
 * Parsers for what the server sends: each takes unknown and gives the typed value, or nothing when it has
 * another shape. What is not named is dropped.
 */
export type Parse<T> = (value: unknown) => T | undefined;

export const parseText: Parse<string> = (value) => (typeof value === "string" ? value : undefined);
export const parseNumber: Parse<number> = (value) =>
  typeof value === "number" && Number.isFinite(value) ? value : undefined;
export const parseFlag: Parse<boolean> = (value) => (typeof value === "boolean" ? value : undefined);

export function listOf<T>(parse: Parse<T>): Parse<readonly T[]> {
  return (value) => {
    if (!Array.isArray(value)) return undefined;
    const parsed: T[] = [];
    for (const each of value) {
      const one = parse(each);
      if (one === undefined) return undefined;
      parsed.push(one);
    }
    return parsed;
  };
}

/** A JSON object used as a dictionary; ids such as `__proto__` are ordinary in it. */
export function mapOf<T>(parse: Parse<T>): Parse<ReadonlyMap<string, T>> {
  return (value) => {
    if (!isObject(value)) return undefined;
    const parsed = new Map<string, T>();
    for (const [key, each] of Object.entries(value)) {
      const one = parse(each);
      if (one === undefined) return undefined;
      parsed.set(key, one);
    }
    return parsed;
  };
}

/** An object whose `needed` keys must be there and whose `maybe` keys may. */
export function shapeOf<N extends object, M extends object>(
  needed: { readonly [K in keyof N]: Parse<N[K]> },
  maybe: { readonly [K in keyof M]: Parse<M[K]> },
): Parse<N & Partial<M>> {
  return (value) => {
    if (!isObject(value)) return undefined;
    const parsed: Partial<N & M> = {};
    for (const key in needed) {
      const one = needed[key](value[key]);
      if (one === undefined) return undefined;
      parsed[key] = one as (N & M)[typeof key];
    }
    for (const key in maybe) {
      if (value[key] === undefined) continue;
      const one = maybe[key](value[key]);
      if (one === undefined) return undefined;
      parsed[key] = one as (N & M)[typeof key];
    }
    return parsed as N & Partial<M>;
  };
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
