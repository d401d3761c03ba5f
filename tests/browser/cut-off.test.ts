import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Opened, openedOnPhone } from "./opened.ts";
import type { Shop } from "./start.ts";
import { answerScreen, beginJob } from "./technician.ts";

let opened: Opened;
let shop: Shop;
let page: Page;

beforeAll(async () => {
  opened = await openedOnPhone();
  ({ shop, page } = opened);
});
afterAll(() => opened?.close());

describe("a job whose network is gone", () => {
  const mark = () => page.locator(".head").getByText("Offline, kept here");

  it("says so in its head, goes on, and keeps to one row", async () => {
    await beginJob(page, "gate-lift-does-not-lower", "B-17");
    expect(await mark().count()).toBe(0);
    await page.route("**/api/**", (route) => route.abort());
    await answerScreen(page, new Map());
    await mark().waitFor();
    await answerScreen(page, new Map());
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
  });

  it("no longer says so once everything is with the shop's server", async () => {
    await page.unroute("**/api/**");
    await page.evaluate(() => dispatchEvent(new Event("online")));
    await mark().waitFor({ state: "detached" });
    const runs = await fetch(`${shop.address}/api/runs`).then((answer) => answer.json());
    expect(runs).toHaveLength(1);
  });
});
