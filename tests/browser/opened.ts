/** A shop of its own with a page open on it, as most browser tests begin. */
import type { Browser, Page } from "playwright-core";
import { listenForTrouble } from "./access.ts";
import { type Shop, startBrowser, startShop } from "./start.ts";

export interface Opened {
  readonly shop: Shop;
  readonly browser: Browser;
  readonly page: Page;
  /** What the page's own scripts or its security policy complained of so far. */
  readonly trouble: readonly string[];
  readonly close: () => Promise<void>;
}

/** The technician's first page on a phone; `further` are procedures beside the shipped ones. */
export async function openedOnPhone(further?: ReadonlyMap<string, string>): Promise<Opened> {
  const opened = await openedWith(
    { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
    further,
  );
  await opened.page.goto(opened.shop.address);
  await opened.page.getByRole("heading", { name: "What is wrong?" }).waitFor();
  return opened;
}

/** An empty page at a desk. */
export function openedAtDesk(further?: ReadonlyMap<string, string>): Promise<Opened> {
  return openedWith({ viewport: { width: 1440, height: 900 } }, further);
}

async function openedWith(
  place: { viewport: { width: number; height: number }; hasTouch?: boolean; isMobile?: boolean },
  further: ReadonlyMap<string, string> | undefined,
): Promise<Opened> {
  const shop = await startShop(further);
  const browser = await startBrowser();
  const page = await browser.newPage(place);
  const close = async () => {
    await browser.close();
    await shop.close();
  };
  return { shop, browser, page, trouble: listenForTrouble(page), close };
}
