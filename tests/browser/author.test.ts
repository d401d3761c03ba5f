import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Opened, openedAtDesk } from "./opened.ts";
import type { Shop } from "./start.ts";
import { answerScreen, screenOf } from "./technician.ts";

let opened: Opened;
let shop: Shop;
let browser: Browser;
let page: Page;
let trouble: readonly string[];

beforeAll(async () => {
  opened = await openedAtDesk();
  ({ shop, browser, page, trouble } = opened);
});
afterAll(() => opened?.close());

/** Puts the cursor behind the step's name in a line of the text, wherever the text is scrolled to. */
async function cursorIn(line: string): Promise<void> {
  const content = page.locator(".cm-content");
  await content.focus();
  await page.keyboard.press("Control+Home");
  for (let screens = 0; screens < 80; screens += 1) {
    const found = page.locator(".cm-line", { hasText: line }).first();
    if ((await found.count()) > 0) {
      await found.click();
      await page.keyboard.press("End");
      return;
    }
    await page.keyboard.press("PageDown");
  }
  throw new Error(`the text has no line with ${line}`);
}

describe("an author with the gate lift procedure", () => {
  it("opens it, sees it drawn, with nothing to mend", async () => {
    await page.goto(`${shop.address}/author#gate-lift-does-not-lower`);
    await page.locator(".drawing svg .node").first().waitFor();
    expect(await page.locator(".drawing svg .node").count()).toBeGreaterThan(20);
    await expect.poll(() => page.locator(".to-mend-count").textContent()).toMatch(/consider/);
    expect(await page.locator(".finding-row[data-severity=error]").count()).toBe(0);
  });

  it("misspells a step, and sees the finding, its place and the name meant", async () => {
    await cursorIn('"yes": { label: It does, goto: supply }');
    for (const key of ["ArrowLeft", "ArrowLeft", "Backspace"]) await page.keyboard.press(key);
    const row = page.locator(".finding-row[data-severity=error]").first();
    await row.waitFor();
    await row.click();
    const chosen = page.locator(".chosen");
    expect(await chosen.textContent()).toContain("supply");
    expect(await row.textContent()).toMatch(/line \d+/);
    expect(await page.locator(".cm-lintRange-error, [class*=lintRange]").count()).toBeGreaterThan(0);
  });

  it("loses nothing typed by a reload", async () => {
    await page.reload();
    await page.locator(".finding-row[data-severity=error]").first().waitFor();
    await cursorIn('"yes": { label: It does, goto: suppl }');
  });

  it("mends it by the act offered", async () => {
    await page.locator(".finding-row[data-severity=error]").first().click();
    await page.locator(".chosen-acts button", { hasText: "supply" }).click();
    await expect.poll(() => page.locator(".finding-row[data-severity=error]").count()).toBe(0);
    await cursorIn('"yes": { label: It does, goto: supply }');
  });

  it("goes from a drawn step to its place in the text", async () => {
    await page.locator('.drawing svg .node[aria-label*="Valve coil"]').first().click();
    await expect.poll(() => page.locator(".cm-line", { hasText: /^ {2}coil:/ }).count()).toBeGreaterThan(0);
  });

  it("walks it beside the drawing to a fault", async () => {
    await page.getByRole("button", { name: "Walk it" }).click();
    await page.locator(".walk-card h1").waitFor();
    const answers = new Map([
      ["Supply at the plug", "24.1"],
      ["How warm is it?", "20"],
      ["Valve coil", "OL"],
    ]);
    for (let screens = 0; screens < 60; screens += 1) {
      if ((await screenOf(page)).heading === "Valve coil open") break;
      await answerScreen(page, answers);
    }
    expect((await screenOf(page)).heading).toBe("Valve coil open");
    expect(await page.locator(".walk-trail").textContent()).toContain("Valve coil");
    expect((await (await fetch(`${shop.address}/api/runs`)).json()) as unknown).toEqual([]);
  });

  it("saves the text into the shop's file", async () => {
    await page.getByRole("button", { name: "End the walk" }).click();
    await cursorIn("title: Gate lift does not lower");
    await page.keyboard.type("!");
    await page.getByRole("button", { name: "Save", exact: true }).click();
    await expect
      .poll(() => readFileSync(join(shop.trees, "gate-lift-does-not-lower.yaml"), "utf8"))
      .toContain("title: Gate lift does not lower!");
  });

  it("has met no refusal of the page's security policy and no exception", () => {
    expect(trouble).toEqual([]);
  });
});

describe("by keyboard alone", () => {
  it("an author leaves the text, walks the drawing, and begins and ends a walk", async () => {
    const desk = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await desk.goto(`${shop.address}/author#radiator-fan-stays-off`);
    await desk.locator(".drawing svg .node").first().waitFor();
    await desk.locator(".finding-row").first().waitFor();
    const press = async (key: string, until: () => Promise<boolean>) => {
      for (let presses = 0; presses < 60; presses += 1) {
        if (await until()) return;
        await desk.keyboard.press(key);
      }
      throw new Error(`${key} does not get there`);
    };
    const stands = (selector: string) =>
      desk.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector);
    await press("Tab", () => stands(".cm-content"));
    await desk.keyboard.press("Tab");
    expect(await stands(".cm-content")).toBe(true);
    await desk.keyboard.press("Control+z");
    await desk.keyboard.press("Escape");
    await desk.keyboard.press("Tab");
    expect(await stands(".cm-content")).toBe(false);
    await press("Tab", () =>
      desk.evaluate(() => document.activeElement?.closest(".drawing svg, .drawing") !== null),
    );
    await press("Shift+Tab", () => desk.evaluate(() => document.activeElement?.textContent === "Walk it"));
    await desk.keyboard.press("Enter");
    await desk.locator(".walk-card h1").waitFor();
    await press("Shift+Tab", () =>
      desk.evaluate(() => document.activeElement?.textContent === "End the walk"),
    );
    await desk.keyboard.press("Enter");
    await desk.locator(".cm-content").waitFor();
    await desk.close();
  });
});

describe("the pages' security policy", () => {
  it.each([
    ["/", false],
    ["/author", true],
  ])(
    "of %s lets no script be made from text, and styles only where the drawing needs them",
    async (path, styles) => {
      const policy = (await fetch(`${shop.address}${path}`)).headers.get("content-security-policy") ?? "";
      expect(policy).toContain("script-src 'self'");
      expect(policy).not.toContain("unsafe-eval");
      expect(policy.includes("'unsafe-inline'")).toBe(styles);
      expect(/script-src[^;]*unsafe/.test(policy)).toBe(false);
    },
  );
});
