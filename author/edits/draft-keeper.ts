/** Keeps what is typed: first in this browser, then on the server; neither waits for the other's failure. */

/** Where the text typed last is safe by now. */
export interface KeptState {
  /** `no` where this browser refused to store it: the text then lives in this page only. */
  readonly here: "writing" | "yes" | "no";
  readonly server: "waiting" | "yes" | "no";
  /** When it was last kept here, ms. */
  readonly at?: number;
}

export interface KeeperPorts<Item> {
  readonly store: (item: Item) => Promise<void>;
  /** Resolves to whether the server has it. */
  readonly send: (item: Item) => Promise<boolean>;
  readonly now: () => number;
  readonly changed: (state: KeptState) => void;
}

export interface Keeper<Item> {
  /** The newest item; older ones not yet kept are dropped for it. */
  keep(item: Item): void;
  /** Begins whatever still waits, at once: the page is being left, or the network is back. */
  flush(): void;
  /** Resolves when nothing is under way; what waits for its time is begun first. */
  settle(): Promise<void>;
  /** Drops what waits: the item was saved or discarded. */
  forget(): void;
}

/** Longest a change waits before it is written here, ms: the design asks for at most 300. */
const HERE_WITHIN = 150;
const SERVER_WITHIN = 1_000;
const SERVER_AGAIN = 10_000;

/** Returns a keeper; it does nothing until something is given to it. */
export function makeKeeper<Item>({ store, send, now, changed }: KeeperPorts<Item>): Keeper<Item> {
  let state: KeptState = { here: "yes", server: "yes" };
  const say = (part: Partial<KeptState>) => {
    state = { ...state, ...part };
    changed(state);
  };
  const here = lane<Item>(async (item, isLatest) => {
    try {
      await store(item);
      if (isLatest()) say({ here: "yes", at: now() });
    } catch {
      if (isLatest()) say({ here: "no" });
    }
  });
  const server = lane<Item>(async (item, isLatest) => {
    const reached = await send(item);
    if (!isLatest()) return;
    say({ server: reached ? "yes" : "no" });
    if (!reached) server.put(item, SERVER_AGAIN);
  });
  return {
    keep(item) {
      say({ here: "writing", server: "waiting" });
      here.put(item, HERE_WITHIN);
      server.put(item, SERVER_WITHIN);
    },
    flush() {
      here.flush();
      server.flush();
    },
    async settle() {
      await Promise.all([here.settle(), server.settle()]);
    },
    forget() {
      here.forget();
      server.forget();
    },
  };
}

interface Lane<Item> {
  put(item: Item, within: number): void;
  flush(): void;
  settle(): Promise<void>;
  forget(): void;
}

/** One job at a time over the newest item; a change waits at most its time, however fast others follow. */
function lane<Item>(job: (item: Item, isLatest: () => boolean) => Promise<void>): Lane<Item> {
  let waiting: { readonly item: Item } | undefined;
  let due: ReturnType<typeof setTimeout> | undefined;
  let dueAt = Number.POSITIVE_INFINITY;
  let running: Promise<void> | undefined;
  let latest = 0;
  const clear = () => {
    clearTimeout(due);
    due = undefined;
    dueAt = Number.POSITIVE_INFINITY;
  };
  const begin = () => {
    clear();
    if (!waiting || running) return;
    const { item } = waiting;
    const mine = latest;
    waiting = undefined;
    running = job(item, () => latest === mine).finally(() => {
      running = undefined;
      if (waiting && due === undefined) begin();
    });
  };
  return {
    put(item, within) {
      waiting = { item };
      latest += 1;
      if (due !== undefined && within >= dueAt) return;
      clear();
      dueAt = within;
      due = setTimeout(begin, within);
    },
    flush: begin,
    async settle() {
      begin();
      while (running) await running;
    },
    forget() {
      clear();
      waiting = undefined;
      latest += 1;
    },
  };
}
