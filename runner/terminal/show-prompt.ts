/** A prompt as lines of text: what a technician reads before answering. */
import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Caution, Findable, Torque } from "../../engine/procedure/model.ts";
import { displayUnit } from "../../engine/quantity/units.ts";
import { END_TITLES } from "../kit/end-titles.ts";
import { torqueText } from "../kit/torque-text.ts";

/** The lines of a prompt, cautions with their signal word first. */
export function promptLines(prompt: Prompt): readonly string[] {
  switch (prompt.kind) {
    case "fact":
      return [prompt.fact.ask];
    case "specification":
      return [`${prompt.title}: what do the maker's data say, in ${displayUnit(prompt.unit)}?`];
    case "set-up":
      return prompt.change === "make"
        ? [prompt.setUp.do, ...torqueLines(prompt.setUp.torque), ...whereLines(prompt.setUp)]
        : [prompt.setUp.putBack?.do ?? "", ...torqueLines(prompt.setUp.putBack?.torque)];
    case "cautions":
      return ["Before you go on:", ...prompt.cautions.flatMap(cautionLines), `Next: ${prompt.next}`];
    case "ask":
      return [prompt.text, ...sayLines(prompt.say), ...aroundLines(prompt)];
    case "measure":
      return [
        prompt.title,
        ...sayLines(prompt.say),
        ...(prompt.instrument === undefined ? [] : [`With: ${prompt.instrument}`]),
        ...aroundLines(prompt),
      ];
    case "do":
      return [prompt.text, ...sayLines(prompt.say), ...aroundLines(prompt)];
    case "repair":
      return [
        `Found: ${prompt.faults.map((fault) => fault.title).join(", or ")}`,
        ...prompt.faults.flatMap((fault) => (fault.where ? [`  ${fault.where}`] : [])),
        ...prompt.repairs.flatMap((repair) => [
          repair.title,
          ...repair.parts.map(
            (part) => `  part: ${part.part}, ${part.quantity}${part.renew ? ", always a new one" : ""}`,
          ),
          ...repair.do.flatMap((act, index) => [
            `  ${index + 1}. ${act.say}`,
            ...torqueLines(act.torque).map((line) => `     ${line}`),
            ...whereLines(act).map((line) => `     ${line}`),
          ]),
        ]),
      ];
    case "concluded":
      return [`Found: ${prompt.faults.map((fault) => fault.title).join(", or ")}`, ...sayLines(prompt.say)];
    case "end":
      return [
        `${END_TITLES[prompt.end].heading}.`,
        ...sayLines(prompt.say ?? END_TITLES[prompt.end].sentence),
      ];
  }
}

/** "Tighten to 9 N·m (80 lbf·in)". */
export function torqueLines(torque: Torque | undefined): readonly string[] {
  if (torque === undefined) return [];
  const { first, second } = torqueText(torque, "si");
  return [`Tighten to ${first}${second === undefined ? "" : ` (${second})`}`];
}

function cautionLines(caution: Caution): readonly string[] {
  const word = caution.signal.toUpperCase();
  return [`  ${word}: ${[caution.hazard, caution.consequence, caution.avoid].filter(Boolean).join(" ")}`];
}

function sayLines(say: string | undefined): readonly string[] {
  return say === undefined ? [] : [say];
}

function whereLines(place: Findable): readonly string[] {
  return [
    ...(place.where === undefined ? [] : [`Where: ${place.where}`]),
    ...(place.picture === undefined ? [] : [`Picture: ${place.picture.file} (${place.picture.alt})`]),
  ];
}

function aroundLines(prompt: Prompt & { readonly kind: "ask" | "measure" | "do" }): readonly string[] {
  return [
    ...whereLines(prompt),
    ...(prompt.tools.length === 0 ? [] : [`Tools: ${prompt.tools.join(", ")}`]),
    ...(prompt.apart.length === 0 ? [] : [`Apart now: ${prompt.apart.join(", ")}`]),
    ...(prompt.waitMinutes === undefined ? [] : [`Wait ${prompt.waitMinutes} min before you answer.`]),
    ...(prompt.limitSeconds === undefined ? [] : [`At most ${prompt.limitSeconds} seconds at a time.`]),
  ];
}
