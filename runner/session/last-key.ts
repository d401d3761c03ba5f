import type { KeptDraft } from "./kept-run.ts";

/**
 * The draft that is on its way into the store. IndexedDB takes a few milliseconds, in which a page can be gone;
 * the browser's plain storage takes none. It holds a draft only until the store has it.
 */
export interface LastKey {
  readonly write: (run: string, draft: KeptDraft) => void;
  readonly clear: (run: string, draft: KeptDraft) => void;
  readonly read: (run: string) => KeptDraft | undefined;
}

export function openLastKey(): LastKey {
  const key = (run: string) => `probewright-draft ${run}`;
  const read = (run: string): KeptDraft | undefined => {
    try {
      const kept = localStorage.getItem(key(run));
      return kept === null ? undefined : (JSON.parse(kept) as KeptDraft);
    } catch {
      return undefined;
    }
  };
  return {
    read,
    write: (run, draft) => {
      try {
        localStorage.setItem(key(run), JSON.stringify(draft));
      } catch {
        // Full or forbidden: the store still gets it, a few milliseconds later.
      }
    },
    clear: (run, draft) => {
      if (read(run)?.change === draft.change) localStorage.removeItem(key(run));
    },
  };
}

/** Of two copies of a run's draft the later one. */
export function laterDraft(a: KeptDraft | undefined, b: KeptDraft | undefined): KeptDraft | undefined {
  if (a === undefined || b === undefined) return a ?? b;
  return b.change > a.change ? b : a;
}
