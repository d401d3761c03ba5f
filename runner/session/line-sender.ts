import type { RunStore } from "./run-store.ts";
import type { ShopServer } from "./shop-server.ts";

/** Sends what is kept here to the shop's server, in the background, until it is there. */
export interface LineSender {
  /** There is something to send, or the network is back. */
  readonly wake: () => void;
  readonly stop: () => void;
}

const BATCH = 200;
const FIRST_PAUSE = 1_000;
const LONGEST_PAUSE = 60_000;

/**
 * Goes through the runs with lines that the server has not, again and again with growing pauses while it can't
 * be reached. Sending a line twice is harmless: the server knows it by run and number. `onSent` is told when a
 * run's state on the server changed, `onReached` after each try whether all that is kept here is there.
 */
export function startLineSender(
  store: RunStore,
  server: ShopServer,
  onSent: () => void,
  onReached: (reached: boolean) => void = () => undefined,
): LineSender {
  let pause = FIRST_PAUSE;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let running = false;
  let again = false;
  let stopped = false;

  const round = async () => {
    const reached = await sendAll(store, server, onSent).catch(() => false);
    onReached(reached);
    if (reached) {
      pause = FIRST_PAUSE;
      return;
    }
    timer = setTimeout(wake, pause);
    pause = Math.min(LONGEST_PAUSE, pause * 2);
  };
  const wake = () => {
    if (stopped) return;
    again = true;
    if (running) return;
    running = true;
    clearTimeout(timer);
    void (async () => {
      while (again && !stopped) {
        again = false;
        await inOneTab(round);
      }
      running = false;
    })();
  };
  return {
    wake,
    stop: () => {
      stopped = true;
      clearTimeout(timer);
    },
  };
}

/** One tab of a browser sends at a time; the others leave it to that one. */
async function inOneTab(work: () => Promise<void>): Promise<void> {
  const locks: LockManager | undefined = globalThis.navigator?.locks;
  if (locks === undefined) return work();
  await locks.request("probewright send", work);
}

/** True once the server has everything it will take; false where it could not be reached. */
export async function sendAll(store: RunStore, server: ShopServer, onSent: () => void): Promise<boolean> {
  let reached = true;
  for (const head of await store.listHeads()) {
    if (head.refused !== undefined || head.sentSeq >= head.lastSeq) continue;
    reached = (await sendRun(store, server, head.run, head.sentSeq + 1, onSent)) && reached;
  }
  return reached;
}

async function sendRun(
  store: RunStore,
  server: ShopServer,
  run: string,
  from: number,
  onSent: () => void,
): Promise<boolean> {
  let next = from;
  const filled = new Set<number>();
  for (;;) {
    const lines = (await store.readLines(run, next)).slice(0, BATCH);
    if (lines.length === 0) return true;
    const answer = await server.postLines(run, lines);
    if (answer.ok) {
      await store.markSent(run, answer.value, null);
      onSent();
      next = Math.max(next + 1, answer.value + 1);
      continue;
    }
    if (answer.code === "unreachable") return false;
    // The server lost lines it once had (an older store was put back): fill the gap, once from each place.
    if (answer.next !== undefined && !filled.has(answer.next)) {
      filled.add(answer.next);
      next = answer.next;
      continue;
    }
    await store.markSent(run, -1, answer.message);
    onSent();
    return true;
  }
}
