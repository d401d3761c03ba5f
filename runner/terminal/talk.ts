/** A run in the terminal, prompt by prompt. Every accepted event is on the disk before the next prompt. */
import { advance } from "../../engine/machine/advance.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import type { Prompt } from "../../engine/machine/prompt.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { Refusal } from "../../engine/machine/refusal.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { promptProof } from "../kit/proof-text.ts";
import { refusalText } from "../kit/refusal-text.ts";
import { trailItems } from "../kit/trail-items.ts";
import { askAmendment, offerLeads } from "./ask-amendment.ts";
import { askChoice, mayChoose } from "./ask-choice.ts";
import { askPrompt } from "./ask-prompt.ts";
import { type Asker, Left } from "./asker.ts";
import type { Asking, Draft, Told } from "./asking.ts";
import type { Line } from "./lay-lines.ts";
import type { Job } from "./open-job.ts";
import type { Screen } from "./screen.ts";
import { cautionLines, promptLines, promptTitle } from "./show-prompt.ts";
import { lastReading, notWorkedOut, readingLines } from "./show-reading.ts";
import { trailLines } from "./show-result.ts";
import { whyLines } from "./show-why.ts";

export interface Terminal {
  readonly screen: Screen;
  readonly asker: Asker;
}

/** Walks on to an end that was closed, or until the technician leaves; the run as it then stands. */
export async function talk(
  procedure: Procedure,
  job: Job,
  terminal: Terminal,
): Promise<{ readonly run: Run; readonly closed: boolean }> {
  const { screen } = terminal;
  screen.show(openingLines(procedure, job));
  let run = job.run;
  let draft: Draft = {};
  let shown = false;
  try {
    for (;;) {
      const prompt = promptOf(procedure, run);
      const asking = askingOf(procedure, run, prompt, terminal, draft);
      const told: Told =
        (shown ? undefined : await settle(asking, run)) ?? (await tell(asking, prompt, run, shown));
      if (told.kind === "close" || told.kind === "later") return { run, closed: told.kind === "close" };
      if (told.kind !== "event") {
        if (told.kind === "why") screen.show(["", ...whyLines(procedure, run)]);
        shown = told.kind === "why";
        draft.offered = true;
        continue;
      }
      const event = { ...told.event, at: Date.now() } as RunEvent;
      const next = advance(procedure, run, event);
      if (!next.ok) {
        screen.show(["", { text: refusalText(next.refusal), first: "! " }]);
        forget(draft, next.refusal);
        shown = true;
      } else if (job.record.append(event, run.step)) {
        run = next.run;
        draft = {};
        shown = false;
      } else {
        screen.show(["", { text: "The disk did not take this: make room, then answer again.", first: "! " }]);
        shown = true;
      }
    }
  } catch (thrown) {
    if (thrown instanceof Left) return { run, closed: false };
    throw thrown;
  }
}

/** Says what the last answer means where it was a reading; an amendment where its leads are measured then. */
async function settle(asking: Asking, run: Run): Promise<Told | undefined> {
  const { draft, screen, procedure } = asking;
  const none = draft.offered ? undefined : notWorkedOut(run);
  if (none !== undefined) {
    draft.offered = true;
    screen.show(["", none]);
  }
  const read = draft.offered ? undefined : lastReading(procedure, run);
  if (read === undefined) return undefined;
  draft.offered = true;
  screen.show(["", ...readingLines(read, screen.width())]);
  return offerLeads(asking, run, read);
}

async function tell(asking: Asking, prompt: Prompt, run: Run, shown: boolean): Promise<Told> {
  const { procedure, screen } = asking;
  if (!shown) showPrompt(procedure, run, prompt, screen);
  screen.gap();
  const told = await askPrompt(asking, prompt);
  if (told.kind === "choose") return askChoice(asking, run);
  return told.kind === "amend" ? askAmendment(asking, run) : told;
}

function askingOf(
  procedure: Procedure,
  run: Run,
  prompt: Prompt,
  { asker, screen }: Terminal,
  draft: Draft,
): Asking {
  const mayCannot = prompt.kind !== "end" && procedure.steps.get(run.step)?.outcomes.has("cannot") === true;
  return {
    asker,
    screen,
    procedure,
    draft,
    amending: false,
    ...(mayCannot ? { cannot: run.step } : {}),
    mayAmend: trailItems(procedure, run).some((item) => item.amendable),
    ended: run.phase === "ended",
    mayChoose: mayChoose(procedure, run),
    mayAskWhy: run.phase === "open" && procedure.faults.size > 1,
  };
}

function openingLines(procedure: Procedure, { run, resumed, cut }: Job) {
  return [
    "",
    { text: procedure.title, look: "strong" as const },
    procedure.complaint,
    ...(procedure.sheet ? [procedure.sheet.title] : []),
    ...(cut === undefined
      ? []
      : [
          "",
          `The last line of the record was cut off and is dropped; its bytes are in ${cut}. Answer that once more.`,
        ]),
    ...(resumed ? ["", "So far:", ...trailLines(procedure, run)] : []),
    ...(resumed && run.phase === "open" ? stillHolding(procedure, run) : []),
  ];
}

/** Cautions acknowledged before the break hold after it, too. */
function stillHolding(procedure: Procedure, run: Run): readonly Line[] {
  const prompt = promptOf(procedure, { ...run, acknowledged: [] });
  if (prompt.kind !== "cautions") return [];
  return prompt.cautions.flatMap((caution) => [{ text: "" }, ...cautionLines(caution)]);
}

function showPrompt(procedure: Procedure, run: Run, prompt: Prompt, screen: Screen): void {
  const proof = promptProof(procedure, run, prompt);
  screen.head(promptTitle(prompt, proof), `${Math.round(run.minutes)} min`);
  const waits = run.waiting === undefined ? undefined : procedure.steps.get(run.waiting)?.title;
  screen.show([
    "",
    ...(waits === undefined ? [] : [`Taken by choice; “${waits}” waits.`, ""]),
    ...promptLines(procedure, prompt, proof),
  ]);
}

/** What was typed and refused is asked again; the rest is kept. */
function forget(draft: Draft, refusal: Refusal): void {
  if (refusal.code === "bad-reading") delete draft[refusal.problem.field];
  else delete draft.reading;
}
