/** What axe finds on a page, and what the page's own security policy or scripts complained of. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** One line for each rule that the page breaks, with the elements meant. */
export async function accessViolations(page: Page): Promise<readonly string[]> {
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run: () => Promise<AxeResult> } };
    const { violations } = await axe.run();
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
