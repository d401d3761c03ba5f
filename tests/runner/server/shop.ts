/** A shop to try the server on: its own copy of a folder of trees, and records as a technician would make them. */
import { cpSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { FastifyInstance } from "fastify";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import { eventLine, openingLine, writeLine } from "../../../engine/machine/record.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { createServer } from "../../../runner/server/server.ts";
import { openTrees } from "../../../runner/server/trees.ts";
import { openMemoryStore } from "../../../runner/store/memory-store.ts";
import type { Store } from "../../../runner/store/store.ts";

export const HORN = "horn-stays-silent";
export const OPENED = Date.parse("2031-03-04T08:00:00Z");

export interface Shop {
  readonly root: string;
  readonly trees: string;
  readonly web: string;
  readonly store: Store;
  readonly server: FastifyInstance;
  /** What was logged. */
  readonly logged: readonly string[];
  readonly close: () => Promise<void>;
}

/** A server on a copy of the trees of this folder, on a store of its own. */
export function openShop(store = openMemoryStore()): Shop {
  const root = mkdtempSync(join(tmpdir(), "probewright-shop-"));
  const trees = join(root, "trees");
  const web = join(root, "web");
  cpSync(join(import.meta.dirname, "trees"), trees, { recursive: true });
  mkdirSync(web);
  const logged: string[] = [];
  const server = createServer({ store, trees, web, log: (line) => logged.push(line), now: () => OPENED });
  const close = async () => {
    await server.close();
    await store.close();
    rmSync(root, { recursive: true, force: true });
  };
  return { root, trees, web, store, server, logged, close };
}

/** The procedure as the shop's trees have it now. */
export async function hornProcedure(trees: string): Promise<Procedure> {
  const linked = await openTrees(trees).link(HORN, "heron-35");
  if (linked === undefined) throw new Error("the shop's own procedure has errors");
  return linked.procedure;
}

/** An event without its time. */
export type Deed = RunEvent extends infer E ? (E extends RunEvent ? Omit<E, "at"> : never) : never;

/** The horn's way to its end, with a dead horn. */
export const DEAD_HORN: readonly Deed[] = [
  { type: "answer", step: "press", answer: "yes" },
  { type: "answer", step: "fuse/look", answer: "whole" },
  { type: "reading", step: "feed", reading: "12.4 V" },
  { type: "done", step: "horn" },
  { type: "acknowledge", for: "press-again", cautions: ["loud"] },
  { type: "answer", step: "press-again", answer: "yes" },
];

/** The record's lines of those deeds, one a minute; throws where the run refuses one. */
export function writeRecord(
  procedure: Procedure,
  run: string,
  deeds: readonly Deed[],
  opened = OPENED,
): readonly string[] {
  let line = openingLine(procedure, { run, at: opened, technician: "tech-1", unit: "van 12" }, "tests 1");
  let walked = openRun(procedure, { run, at: opened });
  const lines = [line];
  for (const [index, deed] of deeds.entries()) {
    const event = { ...deed, at: opened + (index + 1) * 60_000 } as RunEvent;
    const next = advance(procedure, walked, event);
    if (!next.ok) throw new Error(`${deed.type} refused: ${JSON.stringify(next.refusal)}`);
    line = eventLine(line, event, walked.step);
    walked = next.run;
    lines.push(line);
  }
  return lines.map(writeLine);
}
