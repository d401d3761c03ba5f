/** Small pieces that English sentences are put together from. */
import type { Params } from "./wording-type.ts";

export function reason(p: Params): string {
  return either(p, "why", "reason");
}

export function either(p: Params, one: string, other: string): string {
  return p(one) || p(other);
}

export function quoted(text: string): string {
  return text === "" ? "" : `"${text}"`;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
