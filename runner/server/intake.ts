/** Takes in the lines of runs: checked, walked, stored for good before they are acknowledged. */
import {
  openingOf,
  parseRecordLine,
  type RecordLine,
  verifyRecord,
  writeLine,
} from "../../engine/machine/record.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { linkTexts } from "../session/link-texts.ts";
import type { Store } from "../store/store.ts";
import type { Accepted } from "../wire/runs.ts";
import { toDigest, type Walk, walkOn } from "./digest.ts";
import { makeTurns } from "./in-turn.ts";
import { makeRecent } from "./recent.ts";
import { isRefusal, type Refusal, refuse } from "./refusal.ts";
import type { Trees } from "./trees.ts";

export interface Intake {
  accept(run: string, texts: readonly string[]): Promise<Accepted | Refusal>;
  /** Counts the runs that could not be walked when they came and can be now; how many it did. */
  countLate(): Promise<number>;
}

const EMPTY: Walk = { lines: [] };
/** Runs whose walk is held, so that the next line need not walk it all again. */
const HELD = 200;
/** Another process may have the same store open and be quicker, but not for ever. */
const TRIES = 5;

export function openIntake(store: Store, trees: Trees): Intake {
  const inTurn = makeTurns();
  const walks = makeRecent<Walk>(HELD);
  const procedures = makeRecent<Procedure>(HELD);

  const find = async (first: RecordLine): Promise<Procedure | undefined> => {
    const { procedure: id, hash, equipment, at } = openingOf(first);
    const bundle = await store.readBundle(hash, at);
    const key = JSON.stringify([hash, equipment, bundle?.equipment.get(equipment ?? "")]);
    const known = procedures.get(key);
    if (known !== undefined) return known;
    const found = bundle
      ? linkTexts({ ...bundle, id: bundle.procedure }, equipment)
      : await findInTrees(id, hash, equipment, at);
    if (found === undefined || found.hash !== hash) return undefined;
    procedures.set(key, found);
    return found;
  };

  const findInTrees = async (id: string, hash: string, equipment: string | undefined, at: number) => {
    const linked = await trees.link(id, equipment);
    if (linked?.procedure.hash !== hash) return undefined;
    await store.keepBundle(linked.bundle, at);
    return linked.procedure;
  };

  const walkOf = async (run: string): Promise<Walk> => {
    const known = walks.get(run);
    if (known !== undefined) return known;
    const texts = await store.readLines(run);
    if (texts.length === 0) return EMPTY;
    const verified = verifyRecord(texts);
    if (!verified.ok)
      throw new Error(`the stored record of ${run} does not hold: ${verified.problem.message}`);
    return walkOn(EMPTY, verified.lines, find);
  };

  const storeOnce = async (
    run: string,
    lines: readonly RecordLine[],
  ): Promise<Accepted | Refusal | undefined> => {
    const before = await walkOf(run);
    const fresh = findFresh(before.lines, lines);
    if (isRefusal(fresh)) return fresh;
    if (fresh.length === 0) return { accepted: before.lines.length - 1 };
    const walk = await walkOn(before, fresh, find);
    const digest = toDigest(walk);
    if (digest === undefined) return undefined;
    walks.delete(run);
    const after = before.lines.length;
    if (!(await store.append({ run, after, lines: fresh.map(writeLine), digest }))) return undefined;
    walks.set(run, walk);
    return { accepted: walk.lines.length - 1 };
  };

  return {
    async accept(run, texts) {
      const lines = parseLines(run, texts);
      if (isRefusal(lines)) return lines;
      return inTurn(run, async () => {
        for (let tries = 0; tries < TRIES; tries++) {
          const stored = await storeOnce(run, lines);
          if (stored !== undefined) return stored;
          walks.delete(run);
        }
        throw new Error(`${run} is being written by another process all the time`);
      });
    },
    async countLate() {
      let counted = 0;
      for (const run of await store.listUncounted()) {
        await inTurn(run, async () => {
          // A record that was changed can't be counted, and is no reason not to count the others.
          if (!verifyRecord(await store.readLines(run)).ok) return;
          walks.delete(run);
          const walk = await walkOf(run);
          const digest = walk.walked && toDigest(walk);
          if (digest && (await store.recount(run, walk.lines.length, digest))) counted++;
        });
      }
      return counted;
    },
  };
}

/** The lines of a batch, each whole and of this run. */
function parseLines(run: string, texts: readonly string[]): readonly RecordLine[] | Refusal {
  const lines: RecordLine[] = [];
  for (const [index, text] of texts.entries()) {
    const parsed = parseRecordLine(text, index + 1);
    if (!parsed.ok) return refuse(422, { code: "broken-line", message: parsed.problem.message });
    const { line } = parsed;
    if (line.run !== run) {
      const message = `Line ${index + 1} belongs to another run.`;
      return refuse(422, { code: "wrong-run", message, seq: line.seq });
    }
    if (Number.isNaN(Date.parse(line.at)) || (line.seq === 0) !== (line.type === "opened")) {
      const message = `Line ${index + 1} has a time or a place that cannot be.`;
      return refuse(422, { code: "broken-line", message, seq: line.seq });
    }
    lines.push(line);
  }
  return lines;
}

/** The lines that are not stored yet: the same line again is fine, another in its place is not. */
function findFresh(
  stored: readonly RecordLine[],
  lines: readonly RecordLine[],
): readonly RecordLine[] | Refusal {
  const record = [...stored];
  for (const line of lines) {
    const { seq } = line;
    if (seq > record.length) {
      const message = `Line ${seq} came, but ${stored.length} is wanted next.`;
      return refuse(409, { code: "line-gap", message, next: stored.length });
    }
    const there = record[seq];
    if (there !== undefined) {
      if (there.hash === line.hash) continue;
      const message = `Another line ${seq} is stored already. Nothing was overwritten.`;
      return refuse(409, { code: "line-conflict", message, seq });
    }
    const before = record.at(-1);
    if (line.previous !== (before?.hash ?? "0".repeat(64))) {
      const message = `Line ${seq} does not follow the line before it: one was changed, lost or put in.`;
      return refuse(422, { code: "broken-chain", message, seq });
    }
    record.push(line);
  }
  return record.slice(stored.length);
}
