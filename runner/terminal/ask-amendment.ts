/** An earlier answer changed: which one, and what it is now. The record keeps both. */
import { countedEvent, runBefore } from "../../engine/machine/amend.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { Run } from "../../engine/machine/run.ts";
import { trailItems } from "../kit/trail-items.ts";
import { askLeads } from "./ask-measure.ts";
import { askPrompt } from "./ask-prompt.ts";
import type { Asking, Told } from "./asking.ts";
import { promptLines, promptTitle } from "./show-prompt.ts";
import type { LastReading } from "./show-reading.ts";
import { trailText } from "./show-result.ts";

const NONE = "none";

/** Walks back to the answer that is wrong and asks it again; what followed is walked again where it still fits. */
export async function askAmendment(asking: Asking, run: Run): Promise<Told> {
  const { asker, screen, procedure } = asking;
  screen.show(["", "Which answer is to be changed?", ""]);
  const value = await asker.choose([
    ...trailItems(procedure, run)
      .filter((item) => item.amendable)
      .map((item) => ({ name: trailText(item), value: String(item.seq) })),
    { name: "None", value: NONE, quiet: true },
  ]);
  const seq = Number(value);
  const before = value === NONE ? undefined : runBefore(procedure, run, seq);
  if (before === undefined) return { kind: "back" };
  const prompt = promptOf(procedure, before);
  screen.head(promptTitle(prompt), "once more");
  screen.show(["", ...promptLines(procedure, prompt), ""]);
  const { cannot: _, ...rest } = asking;
  const mayCannot = procedure.steps.get(before.step)?.outcomes.has("cannot") === true;
  const old = countedEvent(run, seq);
  const waited = old?.type === "reading" ? old.waited : undefined;
  const told = await askPrompt(
    {
      ...rest,
      amending: true,
      draft: waited === undefined ? {} : { waited },
      ...(mayCannot ? { cannot: before.step } : {}),
    },
    prompt,
  );
  return told.kind === "event"
    ? amendment(seq, { ...told.event, at: Date.now() } as RunEvent)
    : { kind: "back" };
}

/** After a call too close because of the leads: the leads measured, so that the reading is judged anew. */
export async function offerLeads(
  asking: Asking,
  run: Run,
  { judged, seq }: LastReading,
): Promise<Told | undefined> {
  const { asker, screen } = asking;
  const old = countedEvent(run, seq);
  const settles = judged.verdict === "too-close" && judged.settle.some((one) => one.kind === "measure-leads");
  if (!settles || old?.type !== "reading") return undefined;
  screen.gap();
  const value = await asker.choose([
    { name: "Hold the leads together now", value: "leads" },
    { name: "Go on without", value: NONE },
  ]);
  if (value === NONE) return undefined;
  const leads = await askLeads(asking, judged.readingUnit);
  return amendment(seq, { ...old, leads, at: Date.now() });
}

function amendment(seq: number, event: RunEvent): Told {
  return { kind: "event", event: { type: "amend", seq, event } };
}
