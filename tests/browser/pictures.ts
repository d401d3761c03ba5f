/**
 * `npm run pictures`: a picture of every screen, phone and desktop, light and dark, into `.pictures/`, and the
 * README's own into `.tour/`. Run after a build.
 */
import { cpSync, mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { seeAuthorScreens } from "./author-screens.ts";
import { LONG_PROCEDURE } from "./long-procedure.ts";
import { type Shop, startBrowser, startShop } from "./start.ts";
import { act, beginJob, typeReading, walkUntil } from "./technician.ts";
import { type Look, SOUND, seeTechnicianScreens } from "./technician-screens.ts";

const OUT = fileURLToPath(new URL("../../.pictures/", import.meta.url));
const TOUR = fileURLToPath(new URL("../../.tour/", import.meta.url));
const PHONE = { width: 390, height: 844 };
const PLACES = [
  { name: "phone", see: seeTechnicianScreens, viewport: PHONE },
  { name: "bench", see: seeTechnicianScreens, viewport: { width: 1280, height: 800 } },
  { name: "author-phone", see: seeAuthorScreens, viewport: PHONE },
  { name: "author-desktop", see: seeAuthorScreens, viewport: { width: 1440, height: 900 } },
] as const;
/** The README's pictures, by the screen's own name. */
const IN_TOUR: Readonly<Record<string, string>> = {
  "phone-light-cautions": "caution-phone-light",
  "phone-light-measure": "reading-phone-light",
  "phone-light-too-close": "verdict-phone-light",
  "bench-light-traffic": "traffic-desktop-light",
  "author-desktop-light-finding": "author-desktop-light",
};

async function shootPlace(
  browser: Browser,
  { name, see, viewport }: (typeof PLACES)[number],
  theme: "light" | "dark",
): Promise<void> {
  // A shop of its own: drafts of one author are met again by the next.
  const shop = await startShop(new Map([["strained-screens", LONG_PROCEDURE]]));
  const context = await browser.newContext({ viewport, colorScheme: theme });
  let number = 0;
  const shoot: Look = async (screen, page) => {
    number += 1;
    // Motion lasts at most 150 ms.
    await page.waitForTimeout(200);
    const file = join(OUT, `${name}-${theme}-${String(number).padStart(2, "0")}-${screen}.png`);
    await page.screenshot({ path: file });
    const toured = IN_TOUR[`${name}-${theme}-${screen}`];
    if (toured !== undefined) cpSync(file, join(TOUR, `${toured}.png`));
    if (screen === "report" && theme === "light") await print(page);
  };
  await see(await context.newPage(), shop.address, shoot);
  await context.close();
  await shop.close();
}

async function print(page: Page): Promise<void> {
  for (const format of ["A4", "Letter"]) await page.pdf({ path: join(OUT, `report-${format}.pdf`), format });
}

/** A technician's first visit, the server not there; and a shop without procedures. */
async function shootFirstVisit(browser: Browser, shop: Shop) {
  for (const [name, body] of [
    ["unreachable", undefined],
    ["nothing-yet", "[]"],
  ] as const) {
    const context = await browser.newContext({ viewport: PHONE });
    const page = await context.newPage();
    await page.route("**/api/procedures", (route) =>
      body === undefined ? route.abort() : route.fulfill({ contentType: "application/json", body }),
    );
    await page.goto(shop.address);
    await page.getByRole("button", { name: /again/ }).waitFor();
    await page.screenshot({ path: join(OUT, `first-visit-${name}.png`) });
    await context.close();
  }
}

/** Text twice as large still fits. */
async function shootLargeText(browser: Browser, shop: Shop) {
  const context = await browser.newContext({ viewport: PHONE });
  const page = await context.newPage();
  await page.goto(shop.address);
  await page.locator(".row").first().waitFor();
  await beginJob(page, "gate-lift-does-not-lower", "B-17");
  const large = async (name: string) => {
    await page.evaluate(() => document.documentElement.style.setProperty("font-size", "200%"));
    await page.waitForTimeout(150);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth > window.innerWidth);
    if (wide) say(`large text: ${name} is wider than the screen`);
    await page.screenshot({ path: join(OUT, `large-text-${name}.png`), fullPage: true });
  };
  await walkUntil(page, SOUND, ({ kind }) => kind === "cautions");
  await large("cautions");
  await walkUntil(page, SOUND, ({ heading }) => heading === "Supply at the plug");
  await large("measure");
  await typeReading(page, "24.1");
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await large("verdict");
  await context.close();
}

function say(line: string) {
  process.stdout.write(`${line}\n`);
}

rmSync(OUT, { recursive: true, force: true });
mkdirSync(OUT, { recursive: true });
mkdirSync(TOUR, { recursive: true });
const shop = await startShop();
const browser = await startBrowser();
try {
  for (const place of PLACES)
    for (const theme of ["light", "dark"] as const) {
      await shootPlace(browser, place, theme);
      say(`${place.name}, ${theme}`);
    }
  await shootFirstVisit(browser, shop);
  await shootLargeText(browser, shop);
} finally {
  await browser.close();
  await shop.close();
}
say("The pictures are in .pictures and .tour.");
