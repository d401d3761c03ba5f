/** Linking: from the texts of a procedure and of those it calls to one flat, frozen procedure. */
import type { RawProcedure, RawStep } from "../../schemas/generated/procedure.ts";
import { defined } from "./defined.ts";
import type { Finding } from "./finding.ts";
import { deepFreeze } from "./freeze.ts";
import { declareParts, linkCall, type OpenCalled } from "./link-call.ts";
import { withMapped } from "./link-mapped.ts";
import { withNeeds } from "./link-needs.ts";
import {
  codesFact,
  linkCaution,
  linkFact,
  linkFault,
  linkRepair,
  linkSetUp,
  notActedOn,
  withoutNeedCircles,
} from "./link-parts.ts";
import { linkInstrument, linkSpecification, withoutCircles } from "./link-specification.ts";
import { linkStep } from "./link-step.ts";
import { entriesOf, Linking, type Part } from "./linking.ts";
import type { Fault, Procedure, Step, StepId } from "./model.ts";
import { titleOf } from "./titles.ts";

export interface Linked {
  /** Absent where there is no step to begin with. */
  readonly procedure?: Procedure;
  readonly findings: readonly Finding[];
}

/**
 * The procedure linked with all that it calls, as much of it as could be, with what was found wrong. `hash` is
 * asked for once every called text was opened.
 */
export function linkProcedure(
  raw: RawProcedure,
  file: string,
  id: string,
  open: OpenCalled,
  hash: () => string,
): Linked {
  const linking = new Linking({ anyName: false });
  const top: Part = { raw, file, scope: "" };
  declareParts(linking, top, open, [id]);
  const parts = [top, ...linking.called.values()];
  const procedure = linkWhole(linking, top, parts, id, hash());
  return { findings: linking.findings, ...defined({ procedure: procedure && deepFreeze(procedure) }) };
}

function linkWhole(
  linking: Linking,
  top: Part,
  parts: readonly Part[],
  id: string,
  hash: string,
): Procedure | undefined {
  const { raw } = top;
  for (const part of parts) checkPart(linking, part, top);
  const table = <Raw, T extends { readonly id: string }>(
    written: (raw: RawProcedure) => { readonly [name: string]: Raw } | undefined,
    link: (linking: Linking, part: Part, name: string, raw: Raw) => T | undefined,
  ) => collect(parts, written, (part, name, each) => link(linking, part, name, each));
  const faults = table((from) => from.faults, linkFault);
  checkPriors(linking, top, faults);
  const steps = linkSteps(linking, top, faults);
  const start = startOf(linking, top);
  if (start === undefined) return undefined;
  for (const [end, step] of linking.impliedEnds) steps.set(end, step);
  const facts = table((from) => from.facts, linkFact);
  const linked = {
    instruments: table((from) => from.instruments, linkInstrument),
    specifications: withoutCircles(
      linking,
      table((from) => from.specifications, linkSpecification),
    ),
    cautions: table((from) => from.cautions, linkCaution),
    setUps: withoutNeedCircles(
      linking,
      withMapped(
        linking,
        parts,
        table((from) => from["set-ups"], linkSetUp),
      ),
    ),
    facts: new Map([["codes", codesFact(top.file)] as const, ...facts]),
    faults,
    repairs: table((from) => from.repairs, linkRepair),
  };
  return {
    id,
    title: raw.title ?? titleOf(id),
    revision: raw.revision ?? 1,
    language: raw.language ?? "en",
    complaint: raw.complaint ?? "",
    hash,
    certainty: raw.certainty ?? CERTAINTY,
    decideAt: raw["decide-at"] ?? 0.95,
    equipment: raw.equipment ?? [],
    freeOrder: raw["free-order"] ?? false,
    tools: [...new Set(parts.flatMap((part) => part.raw.tools ?? []))],
    hazards: raw.hazards ?? [],
    ...linked,
    start,
    steps: withNeeds({ ...linked, steps }),
  };
}

/** What stands in a file and nothing acts on: the order of a call is free where its caller's is, too. */
function checkPart(linking: Linking, part: Part, top: Part): void {
  if (part.scope !== "" && part.raw["free-order"] === true && top.raw["free-order"] !== true)
    notActedOn(linking, part, ["free-order"]);
}

/** The proof that a conclusion needs where a procedure does not say. */
const CERTAINTY = 0.8;

/** Priors without a sum to share give a run no odds at all. */
function checkPriors(linking: Linking, top: Part, faults: ReadonlyMap<string, Fault>): void {
  const sum = [...faults.values()].reduce((total, { prior }) => total + prior, 0);
  if (faults.size > 0 && !(sum > 0 && sum < Number.POSITIVE_INFINITY))
    linking.report(top, "wrong-shape", ["faults"], {
      reason: sum === 0 ? "priors-zero" : "priors-too-large",
    });
}

/** One table of all parts by full id, in the order written. */
function collect<Raw, T extends { readonly id: string }>(
  parts: readonly Part[],
  written: (raw: RawProcedure) => { readonly [name: string]: Raw } | undefined,
  link: (part: Part, name: string, raw: Raw) => T | undefined,
): Map<string, T> {
  const table = new Map<string, T>();
  for (const part of parts) {
    for (const [name, raw] of entriesOf(written(part.raw))) {
      const linked = link(part, name, raw);
      if (linked !== undefined) table.set(linked.id, linked);
    }
  }
  return table;
}

/** The steps of a part; those of a called one stand behind the step that calls it. */
function linkSteps(linking: Linking, part: Part, faults: ReadonlyMap<string, Fault>): Map<StepId, Step> {
  const steps = new Map<StepId, Step>();
  for (const [name, raw] of entriesOf(part.raw.steps)) {
    if (raw.call === undefined) {
      const step = linkStep(linking, part, name, raw, faults);
      steps.set(step.id, step);
      continue;
    }
    for (const step of linkCalled(linking, part, name, raw, raw.call, faults)) steps.set(step.id, step);
  }
  return steps;
}

function linkCalled(
  linking: Linking,
  part: Part,
  name: string,
  raw: RawStep,
  procedure: string,
  faults: ReadonlyMap<string, Fault>,
): readonly Step[] {
  const id = part.scope + name;
  const called = linking.called.get(id);
  const behind = called === undefined ? [] : [...linkSteps(linking, called, faults).values()];
  const start = called === undefined ? undefined : startOf(linking, called);
  // A call that can't be walked stands as one that goes nowhere, so that the rest can be proven.
  const entry = start ?? linking.impliedEnd(part, "unresolved");
  const place = { linking, part, step: id, thisReading: false, raw, path: ["steps", name] };
  return [linkCall(place, procedure, behind, entry), ...behind];
}

/** The first step of a part; where the one written is not there, the first in the text. */
function startOf(linking: Linking, part: Part): StepId | undefined {
  const [first] = Object.keys(part.raw.steps ?? {});
  if (first === undefined) return undefined;
  const written = part.raw.start;
  const start = written === undefined ? undefined : linking.resolve(part, "step", written, ["start"]);
  return start ?? part.scope + first;
}
