/** A prompt as lines of text: what a technician reads before answering. */
import type { Prompt, PutBackItem } from "../../engine/machine/prompt.ts";
import type { Act, Caution, Findable, Procedure, Repair, Torque } from "../../engine/procedure/model.ts";
import { displayUnit } from "../../engine/quantity/units.ts";
import { END_TITLES } from "../kit/end-titles.ts";
import { type ConclusionProof, concludedText } from "../kit/proof-text.ts";
import { torqueText } from "../kit/torque-text.ts";
import { unprovenText } from "../kit/unproven-text.ts";
import type { Line } from "./lay-lines.ts";

/** The heading of a prompt; a conclusion is taken for proven where nothing else is said. */
export function promptTitle(prompt: Prompt, proof?: ConclusionProof): string {
  switch (prompt.kind) {
    case "fact":
      return prompt.fact.title;
    case "specification":
      return prompt.title;
    case "set-up":
      return prompt.change === "make" ? prompt.setUp.title : "Put back";
    case "cautions":
      return "Before you go on";
    case "repair":
    case "concluded":
      return `${proof?.isProven === false ? "Not proven" : "Found"}: ${prompt.faults.map((fault) => fault.title).join(", or ")}`;
    case "end":
      return END_TITLES[prompt.end].heading;
    default:
      return prompt.visit > 1 ? `${prompt.title}, ${ordinal(prompt.visit)} time` : prompt.title;
  }
}

/** What stands under the heading, cautions with their signal word first. */
export function promptLines(procedure: Procedure, prompt: Prompt, proof?: ConclusionProof): readonly Line[] {
  switch (prompt.kind) {
    case "fact":
      return [{ text: prompt.fact.ask }];
    case "specification":
      return [
        {
          text: `Look it up in the maker's data, in ${displayUnit(prompt.unit)}. The next reading is judged by it.`,
        },
      ];
    case "set-up":
      return setUpLines(prompt);
    case "cautions":
      return [
        ...prompt.cautions.flatMap((caution) => [...cautionLines(caution), { text: "" }]),
        ...(prompt.next === "" ? [] : [{ text: prompt.next, first: "Then: " }]),
      ];
    case "ask":
    case "do":
      return [{ text: prompt.text }, ...sayLines(prompt.say), ...aroundLines(prompt)];
    case "measure":
      return [...sayLines(prompt.say), ...labelled("With", prompt.instrument), ...aroundLines(prompt)];
    case "repair":
      return [
        ...unprovenLines(prompt.faults.length, proof),
        ...prompt.faults.flatMap((fault) => labelled("Where", fault.where)),
        ...sayLines(prompt.say),
        ...prompt.repairs.flatMap((repair, index) => repairLines(procedure, repair, index > 0)),
      ];
    case "concluded":
      return [
        ...unprovenLines(prompt.faults.length, proof),
        { text: "It is not repaired here." },
        ...sayLines(prompt.say),
        ...prompt.faults.flatMap((fault) => labelled("Where", fault.where)),
      ];
    case "end":
      return [
        { text: prompt.say ?? END_TITLES[prompt.end].sentence },
        ...(prompt.unproven === undefined ? [] : [{ text: unprovenText(prompt.unproven) }]),
        ...prompt.putBack.flatMap((item) => (item.done ? [] : putBackLines(procedure, item))),
      ];
  }
}

function unprovenLines(faults: number, proof: ConclusionProof | undefined): readonly Line[] {
  return proof?.isProven === false ? [{ text: concludedText(faults, proof) }] : [];
}

function setUpLines({ setUp, change }: Prompt & { readonly kind: "set-up" }): readonly Line[] {
  const making = change === "make";
  const minutes = making ? setUp.minutes : setUp.putBack?.minutes;
  return [
    { text: (making ? setUp.do : setUp.putBack?.do) ?? setUp.title },
    ...torqueLines(making ? setUp.torque : setUp.putBack?.torque),
    ...whereLines(setUp),
    ...toolLines(setUp.tools),
    ...(minutes ? labelled("Takes", `about ${minutes} min`) : []),
  ];
}

/** What is still apart, with the cautions for putting it back and its torque. */
function putBackLines(procedure: Procedure, { setUp, do: act, torque }: PutBackItem): readonly Line[] {
  const cautions = procedure.setUps.get(setUp)?.putBack?.cautions ?? [];
  return [
    ...cautions.flatMap((id) => {
      const caution = procedure.cautions.get(id);
      return caution === undefined ? [] : [{ text: "" }, ...cautionLines(caution)];
    }),
    { text: "" },
    { text: act, first: "[ ] " },
    ...torqueLines(torque).map((line) => ({ ...line, first: "    " })),
  ];
}

function repairLines(procedure: Procedure, repair: Repair, another: boolean): readonly Line[] {
  const parts = repair.parts.map(
    ({ part, quantity, renew }) =>
      `${quantity === 1 ? "" : `${quantity} × `}${part}${renew ? ", always new" : ""}`,
  );
  return [
    ...(another ? [{ text: "" }] : []),
    { text: repair.title, look: "strong" },
    ...labelled("Parts", parts.length === 0 ? undefined : parts.join("; ")),
    ...toolLines(repair.tools),
    ...labelled("Takes", `about ${repair.minutes} min`),
    ...(repair.cost === undefined ? [] : labelled("Costs", `about ${repair.cost}`)),
    ...repair.do.flatMap((act, index) => actLines(procedure, act, `${index + 1}. `)),
  ];
}

function actLines(procedure: Procedure, act: Act, number: string): readonly Line[] {
  const cautions = act.cautions.flatMap((id) => procedure.cautions.get(id) ?? []);
  const more = [...torqueLines(act.torque), ...whereLines(act)];
  return [
    ...cautions.flatMap((caution) => [{ text: "" }, ...cautionLines(caution)]),
    { text: "" },
    { text: act.say, first: number },
    ...more.map((line) => ({ ...line, first: `${" ".repeat(number.length)}${line.first ?? ""}` })),
  ];
}

/** The signal word on a row of its own, then hazard and consequence, then what to do, with a bar before them. */
export function cautionLines({ signal, hazard, consequence, avoid }: Caution): readonly Line[] {
  const bar = { first: "| ", rest: "| " };
  return [
    { text: signal.toUpperCase(), look: signal, ...bar },
    { text: [hazard, consequence].filter(Boolean).join(" "), ...bar },
    { text: avoid, look: "strong", ...bar },
  ];
}

/** "Tighten to 9 N·m (80 lbf·in)". */
export function torqueLines(torque: Torque | undefined): readonly Line[] {
  if (torque === undefined) return [];
  const { first, second } = torqueText(torque, "si");
  return [{ text: `Tighten to ${first} (${second}).` }];
}

function sayLines(say: string | undefined): readonly Line[] {
  return say === undefined ? [] : [{ text: say }];
}

/** `Where: …`, the rows after the first set in. */
function labelled(label: string, text: string | undefined): readonly Line[] {
  return text === undefined ? [] : [{ text, first: `${label}: `, rest: "  " }];
}

function toolLines(tools: readonly string[]): readonly Line[] {
  const names = tools.map((id) => id.slice(id.lastIndexOf("/") + 1).replaceAll("-", " "));
  return labelled("Tools", names.length === 0 ? undefined : names.join(", "));
}

function whereLines({ where, picture }: Findable): readonly Line[] {
  return [
    ...labelled("Where", where),
    ...labelled("Picture", picture === undefined ? undefined : `${picture.file} (${picture.alt})`),
  ];
}

function aroundLines(prompt: Prompt & { readonly kind: "ask" | "measure" | "do" }): readonly Line[] {
  return [
    ...whereLines(prompt),
    ...toolLines(prompt.tools),
    ...labelled("Apart now", prompt.apart.length === 0 ? undefined : prompt.apart.map(lowerFirst).join(", ")),
  ];
}

function lowerFirst(text: string): string {
  return /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}

function ordinal(visit: number): string {
  return ["", "first", "second", "third", "fourth", "fifth"][visit] ?? `${visit}th`;
}
