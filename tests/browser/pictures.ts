/**
 * Makes pictures of every screen of the technician's app, phone and bench computer, light and dark, into
 * `.pictures/`, and names what axe finds on them. Run after a build: `node --import tsx tests/browser/pictures.ts`.
 */
import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import axe from "axe-core";
import type { Browser, Page } from "playwright-core";
import { LONG_PROCEDURE } from "./long-procedure.ts";
import { type Shop, startBrowser, startShop } from "./start.ts";
import { act, answerScreen, beginJob, settled, typeReading, walkUntil } from "./technician.ts";

const OUT = fileURLToPath(new URL("../../.pictures/", import.meta.url));
const SIZES = { phone: { width: 390, height: 844 }, bench: { width: 1280, height: 800 } } as const;
const THEMES = ["light", "dark"] as const;

/** To the valve coil in the gate lift, everything before it sound. */
const SOUND = new Map([
  ["Supply at the plug", "24.1"],
  ["How warm is it?", "20"],
  ["Valve coil", "19.5"],
  ["Ground at the plug", "0.05"],
  ["Supply under load", "23.8"],
  ["Energise the valve", "Nothing moves"],
]);

type Shoot = (name: string) => Promise<void>;

async function shootAll(
  browser: Browser,
  shop: Shop,
  size: keyof typeof SIZES,
  theme: (typeof THEMES)[number],
) {
  const context = await browser.newContext({ viewport: SIZES[size], colorScheme: theme });
  const page = await context.newPage();
  page.on("console", (message) => {
    if (message.type() === "error") say(`${size} ${theme}: ${message.text()}`);
  });
  page.on("pageerror", (error) => say(`${size} ${theme}: ${error.message}`));
  let number = 0;
  const shoot: Shoot = async (name) => {
    number += 1;
    await page.waitForTimeout(150);
    const file = `${size}-${theme}-${String(number).padStart(2, "0")}-${name}.png`;
    await page.screenshot({ path: join(OUT, file) });
    await checkAccess(page, file);
  };
  await page.goto(shop.address);
  await page.locator(".row").first().waitFor();
  await shootPages(page, shoot);
  await shootGateLift(page, shoot);
  await shootStrained(page, shoot);
  await shootShop(page, shoot);
  await shootTroubles(page, shoot);
  await context.close();
}

async function shootPages(page: Page, shoot: Shoot) {
  await shoot("home");
  await page.getByRole("button", { name: "Settings" }).click();
  await shoot("settings");
  await page.keyboard.press("Escape");
  await page.getByRole("link", { name: /Slow crank/ }).click();
  await page.getByRole("button", { name: "Choose the vehicle first" }).waitFor();
  await shoot("start");
}

async function shootGateLift(page: Page, shoot: Shoot) {
  await beginJob(page, "gate-lift-does-not-lower", "B-17");
  await shoot("fact-codes");
  await page.getByRole("textbox", { name: /Trouble codes/ }).fill("U0121, P12");
  await shoot("fact-codes-wrong");
  await page.getByRole("textbox", { name: /Trouble codes/ }).fill("");
  await walkUntil(page, SOUND, ({ kind }) => kind === "cautions");
  await shoot("cautions");
  await walkUntil(page, SOUND, ({ kind }) => kind === "answers");
  await shoot("ask");
  await walkUntil(page, SOUND, ({ heading }) => heading === "Gate propped");
  await shoot("set-up");
  await walkUntil(page, SOUND, ({ heading }) => heading === "Supply at the plug");
  await shoot("measure");
  await typeReading(page, "-24.1");
  await act(page);
  await page.getByRole("alert").waitFor();
  await shoot("measure-refused");
  await page.getByRole("button", { name: "I can't measure this" }).click();
  await shoot("cannot");
  await page.getByRole("button", { name: "Back to the job" }).click();
  await page.getByRole("button", { name: "Leave the job here" }).click();
  await shoot("leave");
  await page.getByRole("button", { name: "Back to the job" }).click();
  await page.locator(".keys").getByRole("button", { name: "minus", exact: true }).click();
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await shoot("verdict-band");
  await walkUntil(page, SOUND, ({ heading }) => heading === "Valve coil");
  await typeReading(page, "22.2");
  await act(page);
  await shoot("temperature");
  await typeReading(page, "20");
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await shoot("too-close");
  await page.getByRole("button", { name: "Measure the leads" }).click();
  await shoot("leads");
  await typeReading(page, "0.6");
  await act(page);
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await settled(page);
  await shoot("verdict-settled");
  await page.getByRole("button", { name: "Why this next?" }).click();
  await shoot("why");
  await page.getByRole("button", { name: "Back to the job" }).click();
  await page.locator(".trail-item", { hasText: "Supply at the plug" }).click();
  await shoot("amend");
  await page.getByRole("button", { name: "Keep it as it was" }).click();
  await walkUntil(page, SOUND, ({ heading }) => heading === "Energise the valve");
  await shoot("ask-with-limit");
  await walkUntil(page, SOUND, ({ heading }) => heading === "Lowering valve stuck");
  await shoot("repair");
  await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
  await shoot("repair-bottom");
  await answerScreen(page, SOUND);
  await walkUntil(
    page,
    SOUND,
    ({ heading }) => heading.includes("Refit the shield") || heading.startsWith("Put back"),
  );
  await shoot("put-back");
  await walkUntil(page, SOUND, ({ kind }) => kind === "end");
  await shoot("end");
  await page.getByRole("button", { name: "Read the report" }).click();
  await page.locator(".report").waitFor();
  await shoot("report");
  await page.screenshot({ path: join(OUT, "report-whole.png"), fullPage: true });
  await page.emulateMedia({ media: "print" });
  await page.screenshot({ path: join(OUT, "report-printed.png"), fullPage: true });
  await page.emulateMedia({ media: null });
  for (const format of ["A4", "Letter"]) await page.pdf({ path: join(OUT, `report-${format}.pdf`), format });
}

async function shootStrained(page: Page, shoot: Shoot) {
  await beginJob(page, "strained-screens", "the-longest-unit-number-0042");
  await page.locator(".signal").first().waitFor();
  await shoot("long-cautions");
  await act(page);
  await page.locator(".answers").waitFor();
  await shoot("nine-answers");
  await page.getByRole("button", { name: "Two, four and six" }).click();
  await settled(page);
  await shoot("wait");
  await page.getByRole("button", { name: /Start the/ }).click();
  await shoot("waiting");
  await page.getByRole("button", { name: /Go on before/ }).click();
  await shoot("measure-with-limit");
  const second = await page.context().newPage();
  await second.goto(page.url());
  await second.locator(".run-bar").waitFor();
  await second.screenshot({ path: join(OUT, "second-tab.png") });
  await second.close();
}

async function shootShop(page: Page, shoot: Shoot) {
  await page.goto(new URL("/#/", page.url()).href);
  await page.locator(".job").first().waitFor();
  await page.waitForTimeout(400);
  await shoot("home-with-jobs");
  await page.goto(new URL("/#/traffic/gate-lift-does-not-lower", page.url()).href);
  await page.locator(".table").waitFor();
  await shoot("traffic");
  await page.goto(new URL("/#/traffic/inspect-connector", page.url()).href);
  await page.getByText("Nobody has walked").waitFor();
  await shoot("traffic-nothing");
}

async function shootTroubles(page: Page, shoot: Shoot) {
  await page.goto(new URL("/#/run/0123", page.url()).href);
  await page.getByText("can't be opened").waitFor();
  await shoot("no-such-job");
  await page.route("**/api/**", (route) => route.abort());
  await page.goto(new URL("/#/", page.url()).href);
  await page.getByText("No network").waitFor();
  await shoot("home-offline");
  await page.goto(new URL("/#/traffic", page.url()).href);
  await page.getByRole("alert").waitFor();
  await shoot("traffic-unreachable");
}

/** A technician's first visit, the server not there; and a shop without procedures. */
async function shootFirstVisit(browser: Browser, shop: Shop) {
  for (const [name, body] of [
    ["unreachable", undefined],
    ["nothing-yet", "[]"],
  ] as const) {
    const context = await browser.newContext({ viewport: SIZES.phone });
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
  const context = await browser.newContext({ viewport: SIZES.phone });
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

async function checkAccess(page: Page, file: string) {
  await page.evaluate(axe.source);
  const found = await page.evaluate(async () => {
    const { axe: inPage } = window as unknown as {
      axe: {
        run: () => Promise<{
          violations: { id: string; nodes: { html: string; failureSummary?: string }[] }[];
        }>;
      };
    };
    const { violations } = await inPage.run();
    return violations.map(
      (each) => `${each.id}: ${each.nodes.map((node) => node.html.slice(0, 160)).join(" | ")}`,
    );
  });
  for (const line of found) say(`${file}: ${line}`);
}

function say(line: string) {
  process.stdout.write(`${line}\n`);
}

rmSync(OUT, { recursive: true, force: true });
mkdirSync(OUT, { recursive: true });
const shop = await startShop(new Map([["strained-screens", LONG_PROCEDURE]]));
const browser = await startBrowser();
try {
  for (const size of ["phone", "bench"] as const)
    for (const theme of THEMES) await shootAll(browser, shop, size, theme);
  await shootFirstVisit(browser, shop);
  await shootLargeText(browser, shop);
} finally {
  await browser.close();
  await shop.close();
}
say(`Pictures are in ${OUT}`);
