import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { replayRecord, verifyRecord } from "../../engine/machine/record.ts";
import { openSqliteStore } from "../../runner/store/sqlite-store.ts";
import { shippedProcedure } from "../trees.ts";
import { type Opened, openedOnPhone } from "./opened.ts";
import type { Shop } from "./start.ts";
import { act, answerScreen, beginJob, screenOf, settled, typeReading, walkUntil } from "./technician.ts";

/** The coil is open; everything before it is sound. */
const COIL_OPEN = new Map([
  ["Supply at the plug", "24.1"],
  ["How warm is it?", "20"],
  ["Valve coil", "OL"],
]);

let opened: Opened;
let shop: Shop;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  opened = await openedOnPhone();
  ({ shop, browser, page } = opened);
});
afterAll(() => opened?.close());

describe("the solenoid valve procedure on a phone", () => {
  it("resumes mid-step after a reload, with what was half typed", async () => {
    await beginJob(page, "gate-lift-does-not-lower", "B-17");
    await walkUntil(page, COIL_OPEN, ({ heading }) => heading === "Supply at the plug");
    await typeReading(page, "24.");
    const before = await page.locator("main").getByRole("textbox").inputValue();
    expect(before).toContain("24.");
    await page.reload();
    await page.locator(".keys").waitFor();
    expect((await screenOf(page)).heading).toBe("Supply at the plug");
    expect(await page.locator("main").getByRole("textbox").inputValue()).toBe(before);
    await typeReading(page, "1");
    await act(page);
    await page.locator(".verdict-picture").waitFor();
  });

  it("says why: what is possible, what each answer said of a fault, and what else would help", async () => {
    await walkUntil(page, COIL_OPEN, ({ heading }) => heading === "Valve coil");
    await page.getByRole("button", { name: "Why this?" }).click();
    const sheet = page.locator(".sheet");
    const said = sheet.locator(".why-said", { hasText: "Supply at the plug" });
    await said.waitFor();
    expect(await said.textContent()).toMatch(/24\.1\s*V.*for it$/);
    await sheet.getByLabel("About").selectOption({ label: "Lowering fuse blown" });
    expect(await said.textContent()).toMatch(/strongly against it$/);
    const advice = sheet.locator(".why-advice li");
    expect(await advice.count()).toBeGreaterThan(1);
    expect(await advice.filter({ hasText: "Valve coil" }).textContent()).toContain("the next one as written");
    await page.getByRole("button", { name: "Back to the job" }).click();
    expect((await screenOf(page)).heading).toBe("Valve coil");
  });

  it("amends an earlier answer, keeps both in the record, and walks on", async () => {
    await walkUntil(page, COIL_OPEN, ({ heading }) => heading === "Valve coil");
    await page.locator(".trail-item", { hasText: "Supply at the plug" }).click();
    await page.getByRole("button", { name: "Keep it as it was" }).waitFor();
    await page.locator("main").getByRole("textbox").fill("");
    await typeReading(page, "23.9");
    await act(page);
    await page.locator(".trail-item", { hasText: "23.9" }).waitFor();
  });

  it("ends with the fault found, repaired and verified, everything put back, and a report", async () => {
    await walkUntil(page, COIL_OPEN, ({ kind }) => kind === "end");
    await page.getByRole("button", { name: "Read the report" }).click();
    await page.locator(".report").waitFor();
    const report = await page.locator(".report").textContent();
    expect(report).toContain("Valve coil open");
    expect(report).toContain("23.9");
    expect(report).toContain("B-17");
  });

  it("has left its record in SQLite, its chain whole, ending where the screen ended", async () => {
    await expect
      .poll(async () => (await fetch(`${shop.address}/api/runs`).then((answer) => answer.json()))[0]?.end, {
        timeout: 20_000,
      })
      .toBe("fixed");
    const opened = openSqliteStore(shop.data);
    if (!opened.ok) throw new Error(opened.problem.message);
    const [run] = await opened.store.listRuns(1);
    const texts = await opened.store.readLines(run?.run ?? "");
    await opened.store.close();
    const verified = verifyRecord(texts);
    if (!verified.ok) throw new Error(verified.problem.message);
    expect(verified.lines.some((line) => line.type === "amend")).toBe(true);
    const replayed = replayRecord(shippedProcedure("gate-lift-does-not-lower"), verified.lines);
    if (!replayed.ok) throw new Error(JSON.stringify(replayed));
    expect(replayed.run.end).toBe("fixed");
    expect(replayed.run.concluded).toEqual(["coil-open"]);
    expect(replayed.run.made).toEqual([]);
    expect(replayed.run.path.find((row) => row.step === "supply")?.reading).toBe("23.9 V");
  });

  it("is counted by the shop's page", async () => {
    await page.goto(`${shop.address}/#/traffic/gate-lift-does-not-lower`);
    await page.locator(".table").waitFor();
    expect(await page.locator("main").textContent()).toMatch(/1 job|1 run|one/i);
  });
});

describe("by keyboard alone", () => {
  it("a job is begun and its first answers are given", async () => {
    const keys = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await keys.goto(`${shop.address}/#/start/radiator-fan-stays-off`);
    await keys.getByRole("button", { name: "Begin the job" }).waitFor();
    const press = async (key: string, until: () => Promise<boolean>) => {
      for (let presses = 0; presses < 40; presses += 1) {
        if (await until()) return;
        await keys.keyboard.press(key);
      }
      throw new Error(`${key} does not get there`);
    };
    const focused = () =>
      keys.evaluate(() => {
        const element = document.activeElement;
        return element?.matches("button") ? element.textContent : "";
      });
    await press("Tab", async () => (await focused()).includes("Begin the job"));
    await keys.keyboard.press("Enter");
    await keys.locator(".trail-side").waitFor();
    const heading = async () => (await screenOf(keys)).heading;
    for (let screens = 0; screens < 3; screens += 1) {
      const before = await heading();
      // A card that just came takes no act for a moment.
      await keys.locator("main .button-act:enabled, main .answers button:enabled").first().waitFor();
      await press("Tab", () =>
        keys.evaluate(
          () => document.activeElement?.matches("main .button-act, main .answers button") ?? false,
        ),
      );
      await keys.keyboard.press("Enter");
      await settled(keys);
      await expect.poll(heading).not.toBe(before);
    }
    await keys.close();
  });

  it("a reading is typed on the hardware keyboard and sent by Enter", async () => {
    const keys = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await keys.goto(shop.address);
    await beginJob(keys, "gate-lift-does-not-lower", "B-18");
    await walkUntil(keys, COIL_OPEN, ({ heading }) => heading === "Supply at the plug");
    await keys.keyboard.type("24,1");
    await keys.keyboard.press("Enter");
    await keys.locator(".verdict-picture").waitFor();
    await answerScreen(keys, COIL_OPEN);
    await keys.locator(".trail-item", { hasText: "24" }).first().waitFor();
    await keys.close();
  });
});

describe("gloves", () => {
  it("a quick second tap answers nothing that was not read", async () => {
    const gloves = await browser.newPage({ viewport: { width: 390, height: 844 } });
    await gloves.goto(shop.address);
    await beginJob(gloves, "gate-lift-does-not-lower", "B-19");
    const seq = () =>
      gloves.evaluate(() => Number(document.querySelector("main[data-seq]")?.getAttribute("data-seq")));
    for (let cards = 0; cards < 8; cards += 1) {
      const { kind } = await screenOf(gloves);
      if (kind === "reading") break;
      const before = await seq();
      const button = gloves.locator(kind === "answers" ? "main .answers button" : "main .button-act").first();
      await button.click({ trial: true });
      const box = await button.boundingBox();
      await gloves.mouse.dblclick((box?.x ?? 0) + 30, (box?.y ?? 0) + 20, { delay: 5 });
      await expect.poll(seq).toBe(before + 1);
      await gloves.waitForTimeout(150);
      expect(await seq()).toBe(before + 1);
    }
    await gloves.close();
  });
});
