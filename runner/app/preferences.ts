import { useSyncExternalStore } from "react";
import type { UnitSystem } from "../../engine/quantity/format.ts";

/** What the person at this browser chose once. */
export interface Preferences {
  /** A role such as `tech-1`, never a name. */
  readonly technician: string;
  readonly system: UnitSystem;
  /** `device`: as the device is set. */
  readonly theme: "device" | "light" | "dark";
}

const KEY = "probewright-preferences";
const FIRST: Preferences = { technician: "tech-1", system: "si", theme: "device" };

let current: Preferences = readKept();
const listeners = new Set<() => void>();

export function usePreferences(): Preferences {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => current,
  );
}

/** Changes preferences, shows them at once and remembers them where the browser lets us. */
export function prefer(change: Partial<Preferences>): void {
  current = { ...current, ...change };
  try {
    localStorage.setItem(KEY, JSON.stringify(current));
  } catch {
    // A private window may keep nothing; the choice holds until the page is left.
  }
  showTheme();
  for (const listener of listeners) listener();
}

/** Puts the chosen theme on the page. */
export function showTheme(): void {
  const root = document.documentElement;
  if (current.theme === "device") root.removeAttribute("data-theme");
  else root.setAttribute("data-theme", current.theme);
}

function readKept(): Preferences {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    if (typeof kept !== "object" || kept === null) return FIRST;
    const { technician, system, theme } = kept as Partial<Record<keyof Preferences, unknown>>;
    return {
      technician: typeof technician === "string" ? technician : FIRST.technician,
      system: system === "us" ? "us" : "si",
      theme: theme === "light" || theme === "dark" ? theme : "device",
    };
  } catch {
    return FIRST;
  }
}
