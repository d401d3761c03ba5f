/** Every screen of the author's pages, each shown to `look`. */
import type { Page } from "playwright-core";
import type { Look } from "./technician-screens.ts";

/**
 * Shelf, desk, a finding with its way, broken text with the last drawing, a walk, a rehearsal, and a first visit
 * offline.
 */
export async function seeAuthorScreens(page: Page, address: string, look: Look): Promise<void> {
  await page.goto(`${address}/author`);
  await page.getByRole("heading", { name: "Write a procedure" }).waitFor();
  await look("shelf", page);
  await page.goto(`${address}/author#gate-lift-does-not-lower`);
  await page.locator(".finding-row").first().waitFor({ state: "attached" });
  await look("desk", page);
  await breakText(page);
  await pane(page, "To mend");
  await page.locator(".finding-row[data-severity=error]").first().click();
  await page.locator(".way-chip").first().waitFor();
  await page.waitForTimeout(1_200);
  await look("finding", page);
  if (await pane(page, "Drawing")) {
    await page.locator(".drawing svg .node").first().waitFor();
    await look("drawing", page);
  }
  await pane(page, "Text");
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Control+Home");
  await page.keyboard.type('title: "');
  await page.locator(".finding-row[data-severity=error]").first().waitFor({ state: "attached" });
  await page.waitForTimeout(800);
  await look("broken-text", page);
  await page.goto(`${address}/author#slow-crank`);
  await page.locator(".finding-row").first().waitFor({ state: "attached" });
  await page.getByRole("button", { name: "Walk it" }).click();
  await page.locator(".walk-card h1").waitFor();
  await look("walk", page);
  await page.getByRole("button", { name: "Rehearse it" }).click();
  await page.getByRole("button", { name: "Rehearse", exact: true }).click();
  await page.getByText("All 10,000 runs counted").first().waitFor();
  await look("rehearsal", page);
  await page.goto(`${address}/author#never-written`);
  await page.getByRole("heading", { name: /no such procedure/ }).waitFor();
  await look("no-such-procedure", page);
}

/** On a phone the desk shows one part at a time: goes to that one, and tells whether there was need to. */
async function pane(page: Page, name: "Text" | "Drawing" | "To mend"): Promise<boolean> {
  const tab = page.getByRole("tab", { name });
  if (!(await tab.isVisible())) return false;
  await tab.click();
  return true;
}

/** Opens a gap in a band. */
async function breakText(page: Page): Promise<void> {
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Control+Home");
  const line = page.locator(".cm-line", { hasText: "weak: { from: 2 V" });
  for (let screens = 0; screens < 80 && (await line.count()) === 0; screens += 1)
    await page.keyboard.press("PageDown");
  await line.first().click();
  await page.keyboard.press("Home");
  const text = (await line.first().textContent()) ?? "";
  for (let sign = 0; sign < text.trimStart().indexOf("2 V"); sign += 1)
    await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Delete");
  await page.keyboard.type("3");
  await page.locator(".finding-row[data-severity=error]").first().waitFor({ state: "attached" });
}
