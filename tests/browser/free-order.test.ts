import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Opened, openedOnPhone } from "./opened.ts";
import { beginJob, screenOf, settled, walkUntil } from "./technician.ts";

/** Two looks in an order that is free; every number is invented. */
const FREE = `
procedure: beacon-stays-dark
title: Beacon stays dark
revision: 1
complaint: The beacon of the Curlew stays dark.
free-order: true
faults:
  bulb-open: { title: Bulb open, prior: 3, repair: fit-bulb }
  fuse-open: { title: Beacon fuse open, prior: 3, repair: fit-fuse }
  other: { title: Something else, prior: 1 }
set-ups:
  lid-off: { title: Lid off, do: Take the lid off the fuse box., minutes: 1, put-back: { do: Put the lid on., minutes: 1 } }
start: fuse
steps:
  fuse:
    title: Beacon fuse
    ask: Look through the fuse. Is its wire whole?
    minutes: 4
    needs: [lid-off]
    answers:
      whole: { goto: bulb }
      broken: { goto: fuse-bad }
    evidence: { fuse-open: { broken: 0.97 }, otherwise: { whole: 0.98 } }
  bulb:
    title: Beacon bulb
    ask: Look through the glass. Is the wire in it whole?
    minutes: 1
    answers:
      whole: { goto: refer }
      broken: { goto: bulb-bad }
    evidence: { bulb-open: { broken: 0.97 }, otherwise: { whole: 0.98 } }
  bulb-bad: { conclude: bulb-open, verify: lights }
  fuse-bad: { conclude: fuse-open, verify: lights }
  lights: { ask: Does it light?, answers: { lights: { goto: mended }, dark: { goto: refer } } }
  mended: { end: fixed }
  refer: { end: referred }
repairs:
  fit-bulb: { title: Fit a bulb, minutes: 3, do: [ { say: Fit a bulb. } ] }
  fit-fuse: { title: Fit a fuse, minutes: 2, do: [ { say: Fit a fuse. } ] }
`;

let opened: Opened;
let page: Page;

beforeAll(async () => {
  opened = await openedOnPhone(new Map([["beacon-stays-dark", FREE]]));
  ({ page } = opened);
});
afterAll(() => opened?.close());

const chooseBulb = async () => {
  await page.getByRole("button", { name: "Why this?" }).click();
  const row = page.locator(".why-advice li", { hasText: "Beacon bulb" });
  expect(await row.textContent()).toContain("it saves about");
  await row.getByRole("button", { name: /Take this one first/ }).click();
  await settled(page);
};

describe("where the order is free", () => {
  it("an advised step is taken first, and left again for the one that waits", async () => {
    await beginJob(page, "beacon-stays-dark", "C-3");
    expect((await screenOf(page)).heading).toContain("Take the lid off");
    await chooseBulb();
    await expect.poll(async () => (await screenOf(page)).heading).toContain("Look through the glass");
    expect(await page.locator(".run-bar").textContent()).toContain("“Beacon fuse” waits");
    await page.getByRole("button", { name: "Back to it" }).click();
    await expect.poll(async () => (await screenOf(page)).heading).toContain("Take the lid off");
  });

  it("its answer leads to the repair that it proves, and is marked as a choice", async () => {
    await chooseBulb();
    await page.reload();
    await expect.poll(async () => (await screenOf(page)).heading).toContain("Look through the glass");
    await page.getByRole("button", { name: "Broken" }).click();
    await settled(page);
    await walkUntil(page, new Map(), ({ heading }) => heading.includes("Bulb open"));
    expect(await page.locator(".trail-item", { hasText: "Beacon bulb" }).textContent()).toContain(
      "by choice",
    );
  });
});
