import { createServer as createPlainServer } from "node:http";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { afterEach, describe, expect, it } from "vitest";
import { createServer } from "../../../runner/server/server.ts";
import { sendAll, startLineSender } from "../../../runner/session/line-sender.ts";
import { openMemoryRunStore } from "../../../runner/session/memory-run-store.ts";
import { openShopServer } from "../../../runner/session/shop-server.ts";
import { openMemoryStore } from "../../../runner/store/memory-store.ts";
import type { Store } from "../../../runner/store/store.ts";
import { TREES } from "../../trees.ts";
import { OPENING, openGateLift, someAnswer } from "./texts.ts";

const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

const WEB = fileURLToPath(new URL("../../../.build/no-web/", import.meta.url));

async function startShop(
  store: Store = openMemoryStore(),
  port = 0,
): Promise<{ store: Store; address: string }> {
  const server = createServer({ store, trees: TREES, web: WEB, log: () => undefined, now: Date.now });
  const address = await server.listen({ port, host: "127.0.0.1" });
  closing.push(() => server.close());
  return { store, address };
}

async function keptRun(events: number) {
  const store = openMemoryRunStore();
  const session = await openGateLift(store);
  for (let sent = 0; sent < events; sent += 1) {
    const answer = someAnswer(session, 0);
    if (answer !== undefined) await session.send(answer);
  }
  return { store, session };
}

describe("the sender of record lines", () => {
  it("brings every line to the shop's store, once, in order", async () => {
    const shop = await startShop();
    const { store } = await keptRun(8);
    const server = openShopServer(shop.address);
    expect(await sendAll(store, server, () => undefined)).toBe(true);
    expect(await sendAll(store, server, () => undefined)).toBe(true);
    const lines = await store.readLines(OPENING.run, 0);
    expect(await shop.store.readLines(OPENING.run)).toEqual(lines);
    expect((await store.listHeads())[0]?.sentSeq).toBe(lines.length - 1);
  });

  it("fills the gap when the server has lost lines that it once had", async () => {
    const { store } = await keptRun(6);
    const first = await startShop();
    await sendAll(store, openShopServer(first.address), () => undefined);
    const emptied = await startShop();
    const session = (await store.listHeads())[0];
    expect(session?.sentSeq).toBe(6);
    await store.append(OPENING.run, 7, (await anotherLine(store)) ?? "", { touchedAt: 0 });
    expect(await sendAll(store, openShopServer(emptied.address), () => undefined)).toBe(true);
    expect(await emptied.store.readLines(OPENING.run)).toEqual(await store.readLines(OPENING.run, 0));
  });

  it("keeps everything and goes on later while the server is not there", async () => {
    const { store } = await keptRun(3);
    const gone = createPlainServer();
    await new Promise<void>((resolve) => gone.listen(0, "127.0.0.1", resolve));
    const { port } = gone.address() as AddressInfo;
    await new Promise((resolve) => gone.close(resolve));
    const server = openShopServer(`http://127.0.0.1:${port}`);
    expect(await sendAll(store, server, () => undefined)).toBe(false);
    expect((await store.listHeads())[0]).toMatchObject({ sentSeq: -1, lastSeq: 3 });
    const shop = await startShop(openMemoryStore(), port);
    const told = new Promise<void>((resolve) => {
      const sender = startLineSender(store, server, resolve);
      closing.push(sender.stop);
      sender.wake();
    });
    await told;
    expect(await shop.store.readLines(OPENING.run)).toHaveLength(4);
  });

  it("stops at a record that the server will not take, and says why", async () => {
    const shop = await startShop();
    const { store, session } = await keptRun(2);
    const server = openShopServer(shop.address);
    await sendAll(store, server, () => undefined);
    const other = openMemoryRunStore();
    const different = await openGateLift(other);
    await different.send({ type: "remark", text: "another record under the same name" });
    expect(await sendAll(other, server, () => undefined)).toBe(true);
    expect((await other.listHeads())[0]?.refused).toMatch(/stored already/);
    expect(await shop.store.readLines(OPENING.run)).toEqual(await store.readLines(OPENING.run, 0));
    session.close();
  });
});

/** The line that comes next after a kept record. */
async function anotherLine(store: ReturnType<typeof openMemoryRunStore>): Promise<string | undefined> {
  const copy = openMemoryRunStore();
  const kept = await store.readRun(OPENING.run);
  if (kept === undefined) return undefined;
  const [first = "", ...rest] = kept.lines;
  await copy.open({ ...kept.head, lastSeq: 0 }, kept.texts, first);
  for (const [index, line] of rest.entries())
    await copy.append(OPENING.run, index + 1, line, { touchedAt: 0 });
  const { gateLift } = await import("./texts.ts");
  const { resumeSession } = await import("../../../runner/session/run-session.ts");
  const resumed = resumeSession(gateLift(), kept, { store: copy, now: Date.now });
  if (resumed.ok) await resumed.session.send({ type: "remark", text: "one more" });
  return (await copy.readLines(OPENING.run, kept.lines.length))[0];
}
