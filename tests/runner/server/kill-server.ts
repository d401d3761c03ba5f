/** Kills the real server again and again while technicians send lines, and looks what is left each time. */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { rmSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline/promises";
import { setTimeout as wait } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { build } from "vite";
import { findTraversals } from "../../../engine/audit/traversal.ts";
import { replayRecord, verifyRecord } from "../../../engine/machine/record.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { openSqliteStore } from "../../../runner/store/sqlite-store.ts";
import { parseAccepted } from "../../../runner/wire/runs.ts";
import { DEAD_HORN, HORN, hornProcedure, OPENED, writeRecord } from "./shop.ts";

export interface KillPlan {
  readonly moments: number;
  readonly seed: number;
  /** An empty folder to work in. */
  readonly folder: string;
  readonly trees: string;
}

export interface KillReport {
  readonly kills: number;
  /** Lines that the server said were stored. */
  readonly acknowledged: number;
  /** Posts that were under way when the server died. */
  readonly cutOff: number;
  /** Sentences; empty when nothing was lost and nothing else was stored. */
  readonly losses: readonly string[];
}

const SENDERS = 3;

interface Sender {
  readonly name: string;
  readonly lines: readonly string[];
  acknowledged: number;
}

/** What was lost over so many kills at moments that the seed picks. */
export async function killAtRandomMoments(plan: KillPlan): Promise<KillReport> {
  // Inside the checkout, or the packages that the server imports would not be found.
  const built = join(import.meta.dirname, "../../../.build/kill", `${process.pid}`);
  try {
    return await killBundled(await bundleServer(built), plan);
  } finally {
    rmSync(built, { recursive: true, force: true });
  }
}

async function killBundled(program: string, plan: KillPlan): Promise<KillReport> {
  const data = join(plan.folder, "data");
  const procedure = await hornProcedure(plan.trees);
  const random = makeRandom(plan.seed);
  const shop = new Technicians(procedure);
  const losses: string[] = [];
  let kills = 0;
  for (; kills < plan.moments && losses.length === 0; kills++) {
    const { child, address } = await startProcess(program, data, plan.trees);
    const after = Math.floor(random() * 25);
    const delay = random() * 4;
    const sending = shop.sendUntilDead(address, random);
    await Promise.race([shop.reach(after), sending]);
    await wait(delay);
    child.kill("SIGKILL");
    await once(child, "exit");
    await sending;
    losses.push(...(await shop.findLosses(data)).map((loss) => `kill ${kills}: ${loss}`));
  }
  return { kills, acknowledged: shop.total, cutOff: shop.cutOff, losses };
}

/** Several technicians at once; each opens its next run when one is through, and goes on where it was cut off. */
class Technicians {
  total = 0;
  cutOff = 0;
  private readonly procedure: Procedure;
  private readonly senders: Sender[] = [];
  private readonly current: Sender[] = [];
  private waiting: { readonly total: number; readonly resolve: () => void } | undefined;

  constructor(procedure: Procedure) {
    this.procedure = procedure;
    for (let place = 0; place < SENDERS; place++) this.openRun(place);
  }

  /** Resolves when so many more lines are acknowledged. */
  reach(more: number): Promise<void> {
    return new Promise((resolve) => {
      this.waiting = { total: this.total + more, resolve };
      this.notice();
    });
  }

  async sendUntilDead(address: string, random: () => number): Promise<void> {
    await Promise.all(this.current.map((_, place) => this.sendAll(address, place, random)));
  }

  async findLosses(data: string): Promise<readonly string[]> {
    const opened = openSqliteStore(data);
    if (!opened.ok) return [opened.problem.message];
    const { store } = opened;
    const losses: string[] = [];
    const counts = new Map<string, number>();
    for (const { name, lines, acknowledged } of this.senders) {
      const stored = await store.readLines(name);
      if (stored.length <= acknowledged) losses.push(`${name} lost a line after ${stored.length - 1}`);
      if (stored.some((line, seq) => line !== lines[seq])) losses.push(`${name} has a line nobody sent`);
      this.count(stored, counts);
    }
    const tallied = new Map<string, number>();
    for (const { step, outcome, count } of await store.tallyBranches(HORN))
      add(tallied, `${step}:${outcome}`, count);
    const [want, have] = [counts, tallied].map((each) => JSON.stringify([...each].sort()));
    if (want !== have) losses.push(`the counts are ${have}, the records say ${want}`);
    await store.close();
    return losses;
  }

  private count(stored: readonly string[], counts: Map<string, number>): void {
    if (stored.length === 0) return;
    const verified = verifyRecord(stored);
    const replayed = verified.ok ? replayRecord(this.procedure, verified.lines) : undefined;
    const traversals = replayed?.ok ? findTraversals(this.procedure, replayed.run) : undefined;
    for (const { step, outcome } of traversals ?? []) add(counts, `${step}:${outcome}`, 1);
    if (traversals === undefined) add(counts, "a record that does not hold", 1);
  }

  private async sendAll(address: string, place: number, random: () => number): Promise<void> {
    for (;;) {
      const sender = this.current[place] ?? this.openRun(place);
      const from = sender.acknowledged + 1;
      if (from === sender.lines.length) {
        this.openRun(place);
        continue;
      }
      const lines = sender.lines.slice(from, from + 1 + Math.floor(random() * 3));
      const accepted = await post(address, sender.name, lines);
      if (accepted === undefined) {
        this.cutOff++;
        return;
      }
      this.total += accepted - sender.acknowledged;
      sender.acknowledged = accepted;
      this.notice();
    }
  }

  private openRun(place: number): Sender {
    const number = this.senders.length;
    const name = `run-${number}`;
    const lines = writeRecord(this.procedure, name, DEAD_HORN, OPENED + number * 1000);
    const sender: Sender = { name, lines, acknowledged: -1 };
    this.senders.push(sender);
    this.current[place] = sender;
    return sender;
  }

  private notice(): void {
    if (this.waiting !== undefined && this.total >= this.waiting.total) this.waiting.resolve();
  }
}

/** The highest line stored, or nothing when the server died over it; any other answer throws. */
async function post(address: string, run: string, lines: readonly string[]): Promise<number | undefined> {
  let answer: Response;
  let body: unknown;
  try {
    answer = await fetch(`${address}/api/runs/${run}/lines`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ lines }),
    });
    body = await answer.json();
  } catch {
    return undefined;
  }
  const accepted = answer.ok ? parseAccepted(body)?.accepted : undefined;
  if (accepted === undefined) throw new Error(`refused ${answer.status}: ${JSON.stringify(body)}`);
  return accepted;
}

async function startProcess(
  program: string,
  data: string,
  trees: string,
): Promise<{ child: ChildProcess; address: string }> {
  const child = spawn(process.execPath, [program, data, trees], { stdio: ["ignore", "pipe", "inherit"] });
  const first = await createInterface({ input: child.stdout })[Symbol.asyncIterator]().next();
  const started = JSON.parse(first.value ?? "{}");
  if (typeof started.address !== "string") throw new Error(`the server did not start: ${first.value}`);
  return { child, address: started.address };
}

/** One file, so that a start takes no compiling. */
async function bundleServer(outDir: string): Promise<string> {
  await build({
    configFile: false,
    logLevel: "error",
    build: {
      ssr: fileURLToPath(new URL("./server-process.ts", import.meta.url)),
      outDir,
      emptyOutDir: true,
      target: "node20",
      rollupOptions: { output: { format: "es", entryFileNames: "server.js" } },
    },
  });
  return join(outDir, "server.js");
}

function add(counts: Map<string, number>, key: string, more: number): void {
  counts.set(key, (counts.get(key) ?? 0) + more);
}

/** Numbers from 0 to 1, the same for the same seed (mulberry32). */
function makeRandom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
