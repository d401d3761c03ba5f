import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { accessViolations, listenForTrouble } from "./access.ts";
import { seeAuthorScreens } from "./author-screens.ts";
import { LONG_PROCEDURE } from "./long-procedure.ts";
import { type Shop, startBrowser, startShop } from "./start.ts";
import { act, beginJob, typeReading, walkUntil } from "./technician.ts";
import { SOUND, seeTechnicianScreens } from "./technician-screens.ts";

let browser: Browser;
let shop: Shop;

beforeAll(async () => {
  shop = await startShop();
  browser = await startBrowser();
});
afterAll(async () => {
  await browser?.close();
  await shop?.close();
});

const PHONE = { width: 390, height: 844 };

describe.each([
  ["technician", "phone", PHONE, "light", seeTechnicianScreens, 30],
  ["technician", "bench", { width: 1280, height: 800 }, "dark", seeTechnicianScreens, 30],
  ["author", "phone", PHONE, "dark", seeAuthorScreens, 6],
  ["author", "desktop", { width: 1440, height: 900 }, "light", seeAuthorScreens, 6],
] as const)("every screen of the %s, %s, %o, %s", (_who, _size, viewport, colorScheme, see, atLeast) => {
  it("breaks no rule that axe knows, is no wider than its window, and meets no refusal of the security policy", async () => {
    // A shop of its own: drafts of one author are met again by the next.
    const own = await startShop(new Map([["strained-screens", LONG_PROCEDURE]]));
    const context = await browser.newContext({ viewport, colorScheme });
    const page = await context.newPage();
    const trouble = listenForTrouble(page);
    const found: string[] = [];
    let screens = 0;
    await see(page, own.address, async (name, shown) => {
      screens += 1;
      // Motion lasts at most 150 ms; colours in between are nobody's.
      await shown.waitForTimeout(200);
      for (const violation of await accessViolations(shown)) found.push(`${name}: ${violation}`);
      const wide = await shown.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      if (wide > 0) found.push(`${name}: ${wide} px wider than its window`);
    });
    expect(found).toEqual([]);
    expect(trouble).toEqual([]);
    expect(screens).toBeGreaterThanOrEqual(atLeast);
    await context.close();
    await own.close();
  });
});

describe("text twice as large", () => {
  it("still fits a phone: cautions, reading, verdict", async () => {
    const context = await browser.newContext({ viewport: PHONE });
    const page = await context.newPage();
    await page.goto(shop.address);
    await page.locator(".row").first().waitFor();
    await beginJob(page, "gate-lift-does-not-lower", "B-17");
    const fits = async () => {
      await page.evaluate(() => document.documentElement.style.setProperty("font-size", "200%"));
      return page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth);
    };
    await walkUntil(page, SOUND, ({ kind }) => kind === "cautions");
    expect(await fits()).toBe(true);
    await walkUntil(page, SOUND, ({ heading }) => heading === "Supply at the plug");
    expect(await fits()).toBe(true);
    await typeReading(page, "24.1");
    await act(page);
    await page.locator(".verdict-picture").waitFor();
    expect(await fits()).toBe(true);
    await context.close();
  });
});
