/** A store that forgets when it is closed: for trials, and the plain words against which the other is read. */
import type { BranchTally, RunTally } from "../../engine/audit/count-branches.ts";
import {
  type Batch,
  type Bundle,
  DRAFT_SPACING,
  type DraftVersion,
  type NewDraft,
  type RunDigest,
  type Store,
  type StoredRun,
} from "./store.ts";
import { textHash } from "./text-hash.ts";

interface HeldRun {
  lines: readonly string[];
  digest: RunDigest;
}

interface HeldDrafts {
  versions: DraftVersion[];
  /** Versions that were kept because of a conflict and never were the draft. */
  aside: Set<number>;
  last: number;
  current?: DraftVersion;
}

export function openMemoryStore(): Store {
  const runs = new Map<string, HeldRun>();
  const bundles = new Map<string, { bundle: Bundle; at: number }[]>();
  const drafts = new Map<string, HeldDrafts>();

  const draftsOf = (procedure: string): HeldDrafts => {
    const held = drafts.get(procedure) ?? { versions: [], aside: new Set(), last: 0 };
    drafts.set(procedure, held);
    return held;
  };

  return {
    async append({ run, after, lines, digest }: Batch) {
      const held = runs.get(run);
      if ((held?.lines.length ?? 0) !== after) return false;
      runs.set(run, { lines: [...(held?.lines ?? []), ...lines], digest });
      return true;
    },
    async readLines(run) {
      return runs.get(run)?.lines ?? [];
    },
    async listRuns(limit) {
      const all = [...runs].map(([run, held]) => toStoredRun(run, held));
      return all.sort((a, b) => b.latest - a.latest || compareText(a.run, b.run)).slice(0, limit);
    },
    async listUncounted() {
      const all = [...runs].filter(([, held]) => held.digest.traversals === undefined);
      return all
        .sort(([a, one], [b, two]) => one.digest.opened - two.digest.opened || compareText(a, b))
        .map(([run]) => run);
    },
    async recount(run, after, digest) {
      const held = runs.get(run);
      if (held === undefined || held.lines.length !== after) return false;
      held.digest = digest;
      return true;
    },
    async tallyBranches(procedure, revision) {
      return tally(
        digestsOf(runs.values(), procedure, revision).flatMap((digest) =>
          (digest.traversals ?? []).map(
            ({ step, outcome, seconds }): BranchTally => ({
              step,
              outcome,
              ...(seconds === undefined ? {} : { seconds }),
              count: 1,
            }),
          ),
        ),
      );
    },
    async tallyRuns(procedure, revision) {
      return tally(
        digestsOf(runs.values(), procedure, revision).map(
          ({ end, seconds }): RunTally => ({
            ...(end === undefined ? {} : { end }),
            ...(seconds === undefined ? {} : { seconds }),
            count: 1,
          }),
        ),
      );
    },
    async keepBundle(bundle, at) {
      const kept = bundles.get(bundle.hash) ?? [];
      if (kept.some((each) => sameBundle(each.bundle, bundle))) return;
      bundles.set(
        bundle.hash,
        [...kept, { bundle, at }].sort((a, b) => a.at - b.at),
      );
    },
    async readBundle(hash, at) {
      const kept = bundles.get(hash) ?? [];
      return (kept.findLast((each) => each.at <= at) ?? kept[0])?.bundle;
    },
    async readDraft(procedure) {
      return drafts.get(procedure)?.current;
    },
    async draftHistory(procedure) {
      return [...(drafts.get(procedure)?.versions ?? [])];
    },
    async keepDraft(draft: NewDraft) {
      const held = draftsOf(draft.procedure);
      const hash = textHash(draft.text);
      if (held.current?.hash === hash) return { kept: held.current };
      held.last++;
      const kept: DraftVersion = {
        version: held.last,
        hash,
        text: draft.text,
        ...(draft.base === undefined ? {} : { base: draft.base }),
        at: draft.at,
      };
      const { current } = held;
      if (current !== undefined && current.hash !== draft.base) {
        held.versions.push(kept);
        held.aside.add(kept.version);
        return { kept, conflict: current };
      }
      if (current !== undefined && followsClosely(held, current)) {
        held.versions = held.versions.filter((each) => each !== current);
      }
      held.versions.push(kept);
      held.current = kept;
      return { kept };
    },
    async markSaved(procedure, hash) {
      const held = drafts.get(procedure);
      if (held?.current?.hash === hash) delete held.current;
    },
    async close() {},
  };
}

function followsClosely({ versions, aside }: HeldDrafts, current: DraftVersion): boolean {
  const before = versions.findLast((each) => each.version < current.version && !aside.has(each.version));
  return before !== undefined && current.at - before.at < DRAFT_SPACING;
}

function toStoredRun(run: string, { lines, digest }: HeldRun): StoredRun {
  const { traversals, ...rest } = digest;
  return { run, lines: lines.length, counted: traversals !== undefined, ...rest };
}

function digestsOf(runs: Iterable<HeldRun>, procedure: string, revision?: number): RunDigest[] {
  return [...runs]
    .map((held) => held.digest)
    .filter((each) => each.procedure === procedure && (revision === undefined || each.revision === revision));
}

/** Alike ones counted together. */
function tally<T extends { readonly count: number }>(each: readonly T[]): readonly T[] {
  const alike = new Map<string, T>();
  for (const one of each) {
    const key = JSON.stringify({ ...one, count: 0 });
    alike.set(key, { ...one, count: one.count + (alike.get(key)?.count ?? 0) });
  }
  return [...alike.values()];
}

function sameBundle(a: Bundle, b: Bundle): boolean {
  const texts = (each: Bundle) => JSON.stringify([each.text, [...each.called], [...each.equipment]]);
  return texts(a) === texts(b);
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
