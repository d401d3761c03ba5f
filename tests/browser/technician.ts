/** A technician at the app in a real browser: opens a job, answers what is asked, looks at screens. */
import type { Page } from "playwright-core";

/** What to answer, by the card's heading or by the step's title above a verdict. */
export type Answers = ReadonlyMap<string, string>;

export interface Screen {
  /** Kind of card, told from what stands on it. */
  readonly kind: "cautions" | "reading" | "answers" | "verdict" | "end" | "other";
  readonly heading: string;
}

/** What the screen shows now. */
export async function screenOf(page: Page): Promise<Screen> {
  const heading = (await page.locator("main h1").first().textContent()) ?? "";
  const has = async (selector: string) => (await page.locator(`main ${selector}`).count()) > 0;
  if (await has(".keys")) return { kind: "reading", heading };
  if (await has(".answers")) return { kind: "answers", heading };
  if (await has(".verdict-picture")) return { kind: "verdict", heading };
  if (await has(".signal")) return { kind: heading === "Before you go on" ? "cautions" : "other", heading };
  if (await page.getByRole("button", { name: "Read the report" }).count()) return { kind: "end", heading };
  return { kind: "other", heading };
}

/** Begins a job on a procedure for its first vehicle. */
export async function beginJob(page: Page, procedure: string, unit: string): Promise<void> {
  await page.goto(new URL(`/#/start/${procedure}`, page.url()).href);
  await page.getByRole("radio").first().check({ force: true });
  await page.getByLabel("Unit number", { exact: false }).fill(unit);
  await page.getByRole("button", { name: "Begin the job" }).click();
  await page.locator(".trail-side").waitFor();
}

/** Presses the keys of the reading pad. */
export async function typeReading(page: Page, text: string): Promise<void> {
  for (const sign of text.replace("OL", "O")) {
    const name =
      { ".": "point", "-": "minus", k: "k, kilo", m: "m, milli", O: "OL, over range" }[sign] ?? sign;
    await page.locator(".keys").getByRole("button", { name, exact: true }).click();
  }
}

/** The one act at the bottom. */
export async function act(page: Page): Promise<void> {
  await page.locator("main .button-act").first().click();
}

/** Answers one screen: from the answers, else the first answer or `1` on the pad. */
export async function answerScreen(page: Page, answers: Answers): Promise<void> {
  const { kind, heading } = await screenOf(page);
  const answer = answers.get(heading);
  if (kind === "reading") {
    await typeReading(page, answer ?? "1");
    await act(page);
  } else if (kind === "answers" && answer !== undefined)
    await page.locator(".answers").getByRole("button", { name: answer, exact: true }).click();
  else if (kind === "answers") await page.locator(".answers button").first().click();
  else if ((await page.locator("main .button-act").count()) > 0) await act(page);
  else await page.locator("main .button-plain").first().click();
  await settled(page);
}

/** Waits until the app has stored and shown what was done. */
export async function settled(page: Page): Promise<void> {
  await page.waitForTimeout(60);
  await page.locator("main h1").first().waitFor();
}

/** Answers screen after screen until one passes; throws after too many. */
export async function walkUntil(
  page: Page,
  answers: Answers,
  isThere: (screen: Screen) => boolean,
): Promise<void> {
  for (let taken = 0; taken < 120; taken += 1) {
    if (isThere(await screenOf(page))) return;
    await answerScreen(page, answers);
  }
  throw new Error(`the walk did not get there; it stands at ${(await screenOf(page)).heading}`);
}
