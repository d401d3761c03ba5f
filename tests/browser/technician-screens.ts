/** Every screen of the technician's and the shop's app, gone through as a person would, each shown to `look`. */
import type { Page } from "playwright-core";
import { act, answerScreen, beginJob, settled, typeReading, walkUntil } from "./technician.ts";

export type Look = (name: string, page: Page) => Promise<void>;

/** To the valve coil in the gate lift, everything before it sound. */
export const SOUND = new Map([
  ["Supply at the plug", "24.1"],
  ["How warm is it?", "20"],
  ["Valve coil", "19.5"],
  ["Ground at the plug", "0.05"],
  ["Supply under load", "23.8"],
  ["Energise the valve", "Nothing moves"],
]);

/** From the first page through a whole job to the shop's page; `strained-screens` has to be among the procedures. */
export async function seeTechnicianScreens(page: Page, address: string, look: Look): Promise<void> {
  await page.goto(address);
  await page.locator(".row").first().waitFor();
  await seePages(page, look);
  await seeGateLift(page, look);
  await seeStrained(page, look);
  await seeShop(page, look);
  await seeTroubles(page, look);
}

async function seePages(page: Page, look: Look) {
  await look("home", page);
  await page.getByRole("button", { name: "Settings" }).click();
  await look("settings", page);
  await page.keyboard.press("Escape");
  await page.getByRole("link", { name: /Slow crank/ }).click();
  await page.getByRole("button", { name: "Choose the vehicle first" }).waitFor();
  await look("start", page);
}

async function seeGateLift(page: Page, look: Look) {
  await beginJob(page, "gate-lift-does-not-lower", "B-17");
  await look("fact-codes", page);
  await page.getByRole("textbox", { name: /Trouble codes/ }).fill("U0121, P12");
  await look("fact-codes-wrong", page);
  await page.getByRole("textbox", { name: /Trouble codes/ }).fill("");
  await walkUntil(page, SOUND, ({ kind }) => kind === "cautions");
  await look("cautions", page);
  await walkUntil(page, SOUND, ({ kind }) => kind === "answers");
  await look("ask", page);
  await walkUntil(page, SOUND, ({ heading }) => heading === "Gate propped");
  await look("set-up", page);
  await walkUntil(page, SOUND, ({ heading }) => heading === "Supply at the plug");
  await look("measure", page);
  await typeReading(page, "-24.1");
  await act(page);
  await page.getByRole("alert").waitFor();
  await look("measure-refused", page);
  await page.getByRole("button", { name: "I can't measure this" }).click();
  await look("cannot", page);
  await page.getByRole("button", { name: "Back to the job" }).click();
  await page.getByRole("button", { name: "Leave the job here" }).click();
  await look("leave", page);
  await page.getByRole("button", { name: "Back to the job" }).click();
  await page.locator(".keys").getByRole("button", { name: "minus", exact: true }).click();
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await look("verdict-band", page);
  await walkUntil(page, SOUND, ({ heading }) => heading === "Valve coil");
  await typeReading(page, "22.2");
  await act(page);
  await look("temperature", page);
  await typeReading(page, "20");
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await look("too-close", page);
  await page.getByRole("button", { name: "Measure the leads" }).click();
  await look("leads", page);
  await typeReading(page, "0.6");
  await act(page);
  await act(page);
  await page.locator(".verdict-picture").waitFor();
  await settled(page);
  await look("verdict-settled", page);
  await page.getByRole("button", { name: "Why this next?" }).click();
  await look("why", page);
  await page.locator(".sheet").evaluate((sheet) => sheet.scrollTo(0, sheet.scrollHeight));
  await look("why-bottom", page);
  await page.getByRole("button", { name: "Back to the job" }).click();
  await page.locator(".trail-item", { hasText: "Supply at the plug" }).click();
  await look("amend", page);
  await page.getByRole("button", { name: "Keep it as it was" }).click();
  await walkUntil(page, SOUND, ({ heading }) => heading === "Energise the valve");
  await look("ask-with-limit", page);
  await walkUntil(page, SOUND, ({ heading }) => heading === "Lowering valve stuck");
  await look("repair", page);
  await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
  await look("repair-bottom", page);
  await answerScreen(page, SOUND);
  await walkUntil(
    page,
    SOUND,
    ({ heading }) => heading.includes("Refit the shield") || heading.startsWith("Put back"),
  );
  await look("put-back", page);
  await walkUntil(page, SOUND, ({ kind }) => kind === "end");
  await look("end", page);
  await page.getByRole("button", { name: "Read the report" }).click();
  await page.locator(".report").waitFor();
  await look("report", page);
  await page.emulateMedia({ media: "print" });
  await look("report-printed", page);
  await page.emulateMedia({ media: null });
}

async function seeStrained(page: Page, look: Look) {
  await beginJob(page, "strained-screens", "the-longest-unit-number-0042");
  await page.locator(".signal").first().waitFor();
  await look("long-cautions", page);
  await act(page);
  await page.locator(".answers").waitFor();
  await look("nine-answers", page);
  await page.getByRole("button", { name: "Two, four and six" }).click();
  await settled(page);
  await look("wait", page);
  await page.getByRole("button", { name: /Start the/ }).click();
  await look("waiting", page);
  await page.getByRole("button", { name: /Go on before/ }).click();
  await look("measure-with-limit", page);
  const second = await page.context().newPage();
  await second.goto(page.url());
  await second.locator(".run-bar").waitFor();
  await look("second-tab", second);
  await second.close();
}

async function seeShop(page: Page, look: Look) {
  await page.goto(new URL("/#/", page.url()).href);
  await page.locator(".job").first().waitFor();
  await page.waitForTimeout(400);
  await look("home-with-jobs", page);
  await page.goto(new URL("/#/traffic/gate-lift-does-not-lower", page.url()).href);
  await page.locator(".table").waitFor();
  await look("traffic", page);
  await page.goto(new URL("/#/traffic/inspect-connector", page.url()).href);
  await page.getByText("Nobody has walked").waitFor();
  await look("traffic-nothing", page);
}

async function seeTroubles(page: Page, look: Look) {
  await page.goto(new URL("/#/run/0123", page.url()).href);
  await page.getByText("can't be opened").waitFor();
  await look("no-such-job", page);
  await page.route("**/api/**", (route) => route.abort());
  await page.goto(new URL("/#/", page.url()).href);
  await page.getByText("No network").waitFor();
  await look("home-offline", page);
  await page.goto(new URL("/#/traffic", page.url()).href);
  await page.getByRole("alert").waitFor();
  await look("traffic-unreachable", page);
}
