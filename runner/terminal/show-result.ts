/** A finished or interrupted run as lines of text. */
import type { PutBackItem } from "../../engine/machine/prompt.ts";
import { putBackList } from "../../engine/machine/prompt-of.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { END_TITLES } from "../kit/end-titles.ts";
import { lookAgainText } from "../kit/look-again-text.ts";
import { conclusionProof } from "../kit/proof-text.ts";
import { shareText } from "../kit/share-text.ts";
import { type TrailItem, trailItems } from "../kit/trail-items.ts";
import type { Line } from "./lay-lines.ts";
import { torqueLines } from "./show-prompt.ts";

/** Path, what was found and how it ended, what is to be put back, and the faults still possible. */
export function resultLines(procedure: Procedure, run: Run): readonly Line[] {
  const items = putBackList(procedure, run);
  return [
    { text: procedure.title, look: "strong" },
    ...trailLines(procedure, run),
    { text: "" },
    ...concludedLines(procedure, run),
    { text: run.end === undefined ? "The run is not at its end." : `${END_TITLES[run.end].heading}.` },
    { text: `${Math.round(run.minutes)} min by the book` },
    ...(items.length === 0 ? [] : [{ text: "" }, { text: "Put back:" }, ...items.flatMap(putBackLines)]),
    { text: "" },
    ...possibleLines(procedure, run, 0.01),
  ];
}

/** A repair that ended well is its own proof; else a conclusion claims no more than the answers prove. */
function concludedLines(procedure: Procedure, run: Run): readonly Line[] {
  if (run.concluded === undefined) return [];
  const titles = run.concluded.map((id) => procedure.faults.get(id)?.title ?? id).join(", or ");
  if (run.concluded.every((id) => run.struck.includes(id)))
    return [{ text: `Repaired, but it was not the fault: ${titles}` }];
  const at = run.path.findLast(({ outcome }) => outcome === "repaired" || outcome === "concluded")?.step;
  const step = procedure.steps.get(at ?? "");
  const isProven = step?.kind === "conclude" && conclusionProof(procedure, run, step).isProven;
  return [{ text: `${isProven || run.end === "fixed" ? "Found" : "Not proven"}: ${titles}` }];
}

function putBackLines({ done, do: act, torque }: PutBackItem): readonly Line[] {
  return [
    { text: act, first: `  [${done ? "x" : " "}] ` },
    ...torqueLines(torque).map((line) => ({ ...line, first: "      " })),
  ];
}

/** The faults still possible, as bars with words; those under `least` are left out. */
export function possibleLines(procedure: Procedure, run: Run, least = 0): readonly Line[] {
  const { faults, lookAgain } = posterior(procedure, run);
  const shown = faults.filter((fault) => fault.probability > 0 && fault.probability >= least);
  return [
    { text: "Still possible:" },
    ...shown.map(({ title, probability }) => ({
      text: title,
      first: `  ${barText(probability)} ${shareText(probability).replaceAll("\u00a0", " ").padStart(9)}  `,
    })),
    ...(lookAgain === undefined ? [] : [{ text: lookAgainText(procedure, lookAgain) }]),
  ];
}

function barText(share: number): string {
  return "#".repeat(Math.round(share * 10)).padEnd(10, ".");
}

/** The earlier answers, first to last. */
export function trailLines(procedure: Procedure, run: Run): readonly Line[] {
  return trailItems(procedure, run).map((item) => ({ text: trailText(item), first: "  ", rest: "    " }));
}

/** An earlier answer on one line: `Supply at the plug: 26.1 V, good`. */
export function trailText({ label, reading, value }: TrailItem): string {
  const said = [reading, value].filter((part) => part !== undefined && part !== "").join(", ");
  return `${label}: ${said}`;
}
