import type { ProcedureEntry, ProcedureTexts } from "../wire/procedures.ts";
import type { KeptDraft, RunHead } from "./kept-run.ts";
import { headAfter, headSent, type RunStore } from "./run-store.ts";

/**
 * A store that lasts as long as the page: for a browser that keeps nothing (a private window, a full disk).
 * Who opens it has to say so on the screen.
 */
export function openMemoryRunStore(): RunStore {
  const heads = new Map<string, RunHead>();
  const lines = new Map<string, string[]>();
  const texts = new Map<string, ProcedureTexts>();
  const drafts = new Map<string, KeptDraft>();
  const latest = new Map<string, ProcedureTexts>();
  let shop: readonly ProcedureEntry[] | undefined;
  return {
    async listHeads() {
      return [...heads.values()].toSorted((a, b) => b.touchedAt - a.touchedAt);
    },
    async readRun(run) {
      const head = heads.get(run);
      const kept = texts.get(run);
      if (head === undefined || kept === undefined) return undefined;
      const draft = drafts.get(run);
      return { head, texts: kept, lines: [...(lines.get(run) ?? [])], ...(draft ? { draft } : {}) };
    },
    async readLines(run, from) {
      return (lines.get(run) ?? []).slice(from);
    },
    async open(head, kept, line) {
      heads.set(head.run, head);
      texts.set(head.run, kept);
      lines.set(head.run, [line]);
    },
    async append(run, seq, line, change) {
      const head = heads.get(run);
      const written = lines.get(run);
      if (head === undefined || written === undefined || written.length !== seq) return false;
      written.push(line);
      heads.set(run, headAfter(head, seq, change));
      return true;
    },
    async keepDraft(run, draft) {
      drafts.set(run, draft);
    },
    async markSent(run, seq, refused) {
      const head = heads.get(run);
      if (head !== undefined) heads.set(run, headSent(head, seq, refused));
    },
    async keepShop(entries) {
      shop = entries;
    },
    async readShop() {
      return shop;
    },
    async keepTexts(one) {
      latest.set(one.id, one);
    },
    async readTexts(procedure) {
      return latest.get(procedure);
    },
  };
}
