import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { loadProcedure } from "../../engine/procedure/load.ts";
import { starterText } from "../../engine/procedure/starter.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { rehearsal } from "../../engine/reasoning/rehearse.ts";
import { library } from "../trees.ts";
import { type Opened, openedAtDesk } from "./opened.ts";
import type { Shop } from "./start.ts";

/** A reading of exactly 11 V has nowhere to go; the author's page can mend that. */
const GAPPED = starterText("lamp-stays-dark").replace("good: { from: 11 V,", "good: { over: 11 V,");

let opened: Opened;
let shop: Shop;
let page: Page;
let trouble: readonly string[];

beforeAll(async () => {
  opened = await openedAtDesk(new Map([["lamp-stays-dark", GAPPED]]));
  ({ shop, page, trouble } = opened);
});
afterAll(() => opened?.close());

/** Runs isolated right, counted here. */
function countedHere(runs: number, slips: number): number {
  const text = library.procedure("gate-lift-does-not-lower") ?? "";
  const { procedure } = loadProcedure(text, "gate-lift-does-not-lower.yaml", library);
  if (procedure === undefined) throw new Error("does not load");
  const rehearsed = rehearsal(bulkProcedure(procedure), { seed: 5, slips });
  rehearsed.run(0, runs);
  return rehearsed.counts.faults.reduce((sum, { endings }) => sum + (endings[0] ?? 0), 0);
}

describe("an author rehearses a procedure", () => {
  it("by the keyboard, and sees the counts that the engine counts", async () => {
    await page.goto(`${shop.address}/author#gate-lift-does-not-lower`);
    await page.locator(".finding-row").first().waitFor();
    await page.getByRole("button", { name: "Rehearse it" }).focus();
    await page.keyboard.press("Enter");
    await page.getByLabel("Seed").fill("5");
    await page.getByLabel("Slips, %").fill("10");
    await page.keyboard.press("Enter");
    await page.getByText("All 10,000 runs counted").first().waitFor();
    const right = page.locator(".rehearse-bars li").first();
    expect(await right.textContent()).toContain(`${(countedHere(10_000, 0.1) / 100).toFixed(1)}\u00a0%`);
    expect(await page.getByRole("table", { name: "By fault" }).getByRole("row").count()).toBe(12);
    expect(
      await page
        .getByRole("table", { name: /By branch/ })
        .getByRole("row")
        .count(),
    ).toBeGreaterThan(20);
    await page
      .locator(".rehearse-result")
      .getByText(/reckoned exactly/)
      .waitFor();
  });

  it("stops a long one and keeps what was counted", async () => {
    await page.getByLabel("Runs", { exact: true }).selectOption("1000000");
    await page.getByRole("button", { name: "Rehearse", exact: true }).click();
    await page
      .getByText(/0,000 of 1,000,000 runs counted/)
      .first()
      .waitFor();
    await page.getByRole("button", { name: "Stop and keep the counts" }).click();
    await page
      .getByText(/^Stopped: \d+0,000 of 1,000,000 runs counted/)
      .first()
      .waitFor();
    expect(await page.locator(".rehearse-bars li").count()).toBe(3);
  });

  it("is told when the text has changed since, and rehearses the new one", async () => {
    await page.goto(`${shop.address}/author#lamp-stays-dark`);
    await page.locator(".finding-row").first().waitFor();
    await page.getByRole("button", { name: "Rehearse it" }).click();
    await page.getByRole("button", { name: "Rehearse", exact: true }).click();
    await page.getByText("All 10,000 runs counted").first().waitFor();
    const changed = page.getByText("The text has changed since.");
    expect(await changed.count()).toBe(0);
    await page.locator(".finding-row").first().click();
    await page.getByRole("button", { name: /^Write “from: 11 V”/ }).click();
    await changed.waitFor();
    await page.getByRole("button", { name: "Rehearse", exact: true }).click();
    await changed.waitFor({ state: "detached" });
    await page.getByText("All 10,000 runs counted").first().waitFor();
  });

  it("goes back to the text as it was, without trouble on the page", async () => {
    await page.getByRole("button", { name: "Back to the text" }).click();
    await page.locator(".cm-content").waitFor();
    expect(await page.locator(".rehearse").count()).toBe(0);
    expect(trouble).toEqual([]);
  });
});
