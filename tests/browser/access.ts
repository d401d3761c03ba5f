/** What axe finds on a page, and what the page's own security policy or scripts complained of. */
import axe from "axe-core";
import type { Page } from "playwright-core";

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** One line for each rule that the page breaks, with the elements meant. */
export async function accessViolations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    const { axe: inPage } = window as unknown as { axe: { run: () => Promise<AxeResult> } };
    const { violations } = await inPage.run();
    return violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 160)).join(" | ")}`,
    );
  });
}

/** Complaints of the page from now on: exceptions, and what the security policy refused. */
export function listenForTrouble(page: Page): readonly string[] {
  const trouble: string[] = [];
  page.on("pageerror", (error) => trouble.push(error.message));
  page.on("console", (message) => {
    if (/Content Security Policy|Refused to|violates/i.test(message.text())) trouble.push(message.text());
  });
  return trouble;
}
