import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { verifyRecord } from "../../engine/machine/record.ts";
import { type ShopProcess, startShopProcess } from "./shop-process.ts";
import { startBrowser } from "./start.ts";
import { answerScreen, beginJob, screenOf } from "./technician.ts";

const MOMENTS = 200;
const SEED = Number(process.env.PROBEWRIGHT_SEED ?? 20261125);

let browser: Browser;
let shop: ShopProcess;
const folder = mkdtempSync(join(tmpdir(), "probewright-kill-"));

beforeAll(async () => {
  shop = await startShopProcess(folder, 0);
  browser = await startBrowser();
});
afterAll(async () => {
  await browser?.close();
  await shop?.kill();
  rmSync(folder, { recursive: true, force: true });
});

/** Mulberry32: the same seed, the same moments. */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** How many events the screen shows as accepted. */
async function seenOn(page: Page): Promise<number> {
  return page.evaluate(() =>
    Number(document.querySelector("main[data-seq]")?.getAttribute("data-seq") ?? -1),
  );
}

async function openRun(context: BrowserContext, url: string): Promise<Page> {
  const page = await context.newPage();
  await page.goto(url);
  await page.locator("main[data-seq] h1").waitFor();
  return page;
}

async function storedLines(address: string, run: string): Promise<readonly string[]> {
  const answer = await fetch(`${address}/api/runs/${run}`);
  if (!answer.ok) return [];
  const { lines } = (await answer.json()) as { lines: readonly string[] };
  return lines;
}

describe(`killed at ${MOMENTS} random moments (seed ${SEED})`, () => {
  it("neither the page nor the server ever lacks an event that was seen accepted", async () => {
    const random = randomFrom(SEED);
    const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
    const port = Number(new URL(shop.address).port);
    const begin = async (): Promise<Page> => {
      const fresh = await context.newPage();
      await fresh.goto(shop.address);
      await beginJob(fresh, "gate-lift-does-not-lower", "B-17");
      return fresh;
    };
    let page = await begin();
    let acknowledged = 0;
    let pageKills = 0;
    let serverKills = 0;
    let events = 0;
    const runs = new Map<string, number>();
    for (let moment = 0; moment < MOMENTS; moment += 1) {
      const url = page.url();
      const run = url.split("/").at(-1) ?? "";
      // A card that just came takes no act for a moment; the kill is to meet the answer, not the pause.
      await page
        .locator(
          "main .button-act:enabled, main .button-plain:enabled, main .answers button:enabled, main .keys button",
        )
        .first()
        .waitFor();
      // The answer is under way while the clock of the kill runs.
      const answering = answerScreen(page, new Map()).catch(() => undefined);
      await new Promise((resolve) => setTimeout(resolve, random() * 120));
      const seen = await seenOn(page);
      if (random() < 0.25) {
        acknowledged = (await storedLines(shop.address, run)).length;
        await shop.kill();
        serverKills += 1;
        shop = await startShopProcess(folder, port);
        expect((await storedLines(shop.address, run)).length).toBeGreaterThanOrEqual(acknowledged);
        await answering;
      } else {
        await page.close({ runBeforeUnload: false });
        pageKills += 1;
        await answering;
        page = await openRun(context, url);
      }
      const kept = await seenOn(page);
      expect(
        kept,
        `moment ${moment}: the page showed ${seen} events and now has ${kept}`,
      ).toBeGreaterThanOrEqual(seen);
      runs.set(run, Math.max(kept, runs.get(run) ?? 0));
      if ((await screenOf(page)).kind === "end") {
        events += kept;
        await page.close();
        page = await begin();
      }
    }
    expect(pageKills).toBeGreaterThan(100);
    expect(serverKills).toBeGreaterThan(20);
    // What the page accepted reaches the server in the end, whole and in order.
    for (const [run, count] of runs)
      await expect
        .poll(async () => (await storedLines(shop.address, run)).length, { timeout: 70_000 })
        .toBeGreaterThanOrEqual(count + 1);
    for (const run of runs.keys()) expect(verifyRecord(await storedLines(shop.address, run)).ok).toBe(true);
    expect(events + runs.size).toBeGreaterThan(0);
  }, 600_000);
});
