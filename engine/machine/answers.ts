/** The answers file: a run's answers written beforehand, read against a procedure and given as it asks. */
import type { RawAnswers } from "../../schemas/generated/answers.ts";
import type { Finding } from "../procedure/finding.ts";
import type { FactValue, LimitWord, NodePath, Procedure, Step, StepId } from "../procedure/model.ts";
import { nearest } from "../procedure/nearest.ts";
import { parseText } from "../procedure/parse.ts";
import type { Source } from "../procedure/source.ts";
import { parseReading } from "../quantity/parse-reading.ts";
import type { TypedReading } from "./event.ts";

/** What is answered at one visit of a step. */
export interface ScriptedAnswer {
  /** The answer, reading, `done`, `cannot` or `stop`, as typed. */
  readonly typed: string;
  readonly reason?: string;
  readonly more?: Omit<TypedReading, "reading">;
}

/** A step taken by choice, where the order is free. */
export interface ScriptedChoice {
  /** The step that the run asks for then, and the one taken instead: any other, or the written one that waits. */
  readonly at: StepId;
  readonly take: StepId;
  /** The visit of `at`, from 1. */
  readonly visit: number;
  /** The set-ups made then, these and no others; absent where it does not matter. */
  readonly apart?: readonly string[];
  /** Facts and specifications known before, as `facts/…` and `specifications/…`. */
  readonly after: readonly string[];
}

export interface Answers {
  /** In the order taken; each is taken once, as soon as the run lets it be. */
  readonly choices: readonly ScriptedChoice[];
  /** One answer serves every visit; a list serves one visit each. */
  readonly steps: ReadonlyMap<StepId, ScriptedAnswer | readonly ScriptedAnswer[]>;
  readonly facts: ReadonlyMap<string, { readonly value: FactValue; readonly typed?: string }>;
  readonly specifications: ReadonlyMap<
    string,
    { readonly limits: Readonly<Partial<Record<LimitWord, string>>>; readonly source: string }
  >;
}

/** The answers of a file for a procedure, or what is wrong with it: `unknown-step`, `unknown-name`, shapes. */
export function readAnswers(
  text: string,
  file: string,
  procedure: Procedure,
): { ok: true; answers: Answers } | { ok: false; findings: readonly Finding[]; source: Source } {
  const parsed = parseText(text, file, "answers");
  const findings = [...parsed.findings];
  const reader = new Reader(procedure, parsed.source, file, findings);
  const answers = parsed.raw ? reader.read(parsed.raw) : undefined;
  const errors = findings.filter((finding) => finding.severity === "error");
  if (answers === undefined || errors.length > 0)
    return { ok: false, findings: errors, source: parsed.source };
  return { ok: true, answers };
}

/** The answer for a visit (from 1) of a step; undefined where none is left. */
export function answerFor(answers: Answers, step: StepId, visit: number): ScriptedAnswer | undefined {
  const written = answers.steps.get(step);
  return Array.isArray(written) ? written[visit - 1] : (written as ScriptedAnswer | undefined);
}

/** What can be written for a step; undefined where it is a reading. */
function answersOf(step: Step): readonly string[] | undefined {
  switch (step.kind) {
    case "ask":
      return [...step.answers.map((answer) => answer.id), "cannot", "stop"];
    case "do":
      return ["done", "cannot", "stop"];
    case "conclude":
      return [step.verify === undefined ? "concluded" : "repaired", "done", "stop"];
    case "measure":
    case "call":
    case "end":
      return undefined;
  }
}

/** Minutes waited, as typed; undefined where that is no time one can wait. */
function minutesOf(wait: string): number | undefined {
  const parsed = parseReading(wait, "min");
  if (!parsed.ok || !Number.isFinite(parsed.reading.value) || parsed.reading.value < 0) return undefined;
  return parsed.reading.value;
}

const RESERVED = new Set(["facts", "specifications", "choices"]);

class Reader {
  private readonly procedure: Procedure;
  private readonly source: Source;
  private readonly file: string;
  private readonly findings: Finding[];

  constructor(procedure: Procedure, source: Source, file: string, findings: Finding[]) {
    this.procedure = procedure;
    this.source = source;
    this.file = file;
    this.findings = findings;
  }

  read(raw: RawAnswers): Answers {
    const steps = new Map<StepId, ScriptedAnswer | readonly ScriptedAnswer[]>();
    for (const [id, entry] of Object.entries(raw)) {
      if (RESERVED.has(id)) continue;
      const step = this.procedure.steps.get(id);
      if (step === undefined) {
        this.unknown("unknown-step", "step", id, [...this.procedure.steps.keys()], [id]);
        continue;
      }
      steps.set(
        id,
        Array.isArray(entry)
          ? entry.map((visit, index) => this.visit(step, visit, [id, index]))
          : this.visit(step, entry, [id]),
      );
    }
    return {
      steps,
      choices: this.choices(raw),
      facts: this.facts(raw),
      specifications: this.specifications(raw),
    };
  }

  private choices(raw: RawAnswers): Answers["choices"] {
    const { procedure } = this;
    const setUps = [...procedure.setUps.keys()];
    const known = [
      ...[...procedure.facts.keys()].map((id) => `facts/${id}`),
      ...[...procedure.specifications.keys()].map((id) => `specifications/${id}`),
    ];
    return (raw.choices ?? []).map(({ at = "", take = "", visit = 1, apart, after = [] }, index) => {
      for (const [key, id] of Object.entries({ at, take }))
        if (!procedure.steps.has(id))
          this.unknown(
            "unknown-step",
            "step",
            id,
            [...procedure.steps.keys()],
            ["choices", index, key],
            false,
          );
      for (const [place, id] of (apart ?? []).entries())
        if (!setUps.includes(id))
          this.unknown("unknown-name", "set-up", id, setUps, ["choices", index, "apart", place]);
      for (const [place, name] of after.entries())
        if (!known.includes(name))
          this.unknown("unknown-name", "name", name, known, ["choices", index, "after", place]);
      return { at, take, visit: Number(visit), ...(apart === undefined ? {} : { apart }), after };
    });
  }

  private visit(step: Step, entry: unknown, path: readonly (string | number)[]): ScriptedAnswer {
    if (typeof entry !== "object" || entry === null) return this.named(step, this.text(path), path);
    const field = (name: string) => (Object.hasOwn(entry, name) ? this.text([...path, name]) : undefined);
    const [leads, temperature, wait, reason] = [
      field("leads"),
      field("temperature"),
      field("wait"),
      field("reason"),
    ];
    const waited = wait === undefined ? undefined : minutesOf(wait);
    if (wait !== undefined && waited === undefined)
      this.problem("bad-quantity", { text: wait, why: "a time such as 10 min" }, [...path, "wait"]);
    const typed = field("answer") ?? field("reading") ?? "";
    const more = {
      ...(leads === undefined ? {} : { leads }),
      ...(temperature === undefined ? {} : { temperature }),
      ...(waited === undefined ? {} : { waited }),
    };
    return {
      ...this.named(step, typed, [...path, Object.hasOwn(entry, "answer") ? "answer" : "reading"]),
      ...(reason === undefined ? {} : { reason }),
      more,
    };
  }

  /** An answer has to be one of the step's own; readings are judged when they are given. */
  private named(step: Step, typed: string, path: readonly (string | number)[]): ScriptedAnswer {
    const choices = answersOf(step);
    if (choices !== undefined && !choices.includes(typed))
      this.unknown("unknown-name", "answer", typed, choices, path);
    return { typed };
  }

  private facts(raw: RawAnswers): Answers["facts"] {
    const facts = new Map<string, { value: FactValue; typed?: string }>();
    for (const [id, written] of Object.entries(raw.facts ?? {})) {
      const fact = this.procedure.facts.get(id);
      const path = ["facts", id];
      if (fact === undefined) {
        this.unknown("unknown-name", "fact", id, [...this.procedure.facts.keys()], path, true);
        continue;
      }
      if (!Array.isArray(written) && this.text(path) === "unknown") {
        facts.set(id, { value: { unknown: true } });
        continue;
      }
      if (fact.list) {
        const list = Array.isArray(written)
          ? written.map((_, index) => this.text([...path, index]))
          : [this.text(path)];
        facts.set(id, { value: list });
        continue;
      }
      const typed = this.text(path);
      if (fact.measure) {
        const reading = parseReading(typed, fact.measure.unit);
        if (reading.ok && Number.isFinite(reading.reading.value))
          facts.set(id, { value: reading.reading.value, typed });
        else {
          const isCold = !reading.ok && reading.problem.code === "below-absolute-zero";
          const why = isCold ? "too-cold" : `a reading in ${fact.measure.unit}`;
          this.problem("bad-quantity", { text: typed, why }, path);
        }
      } else {
        const choices = fact.choices.map((choice) => choice.id);
        if (choices.includes(typed)) facts.set(id, { value: typed });
        else this.unknown("unknown-name", "choice", typed, [...choices, "unknown"], path);
      }
    }
    return facts;
  }

  private specifications(raw: RawAnswers): Answers["specifications"] {
    const specifications = new Map<string, { limits: Partial<Record<LimitWord, string>>; source: string }>();
    for (const [id, written] of Object.entries(raw.specifications ?? {})) {
      const path = ["specifications", id];
      if (!this.procedure.specifications.has(id)) {
        this.unknown(
          "unknown-name",
          "specification",
          id,
          [...this.procedure.specifications.keys()],
          path,
          true,
        );
        continue;
      }
      const limits: Partial<Record<LimitWord, string>> = {};
      for (const word of ["from", "to", "over", "under"] as const)
        if (written[word] !== undefined) limits[word] = this.text([...path, word]);
      specifications.set(id, { limits, source: written.source ?? "the answers file" });
    }
    return specifications;
  }

  private text(path: readonly (string | number)[]): string {
    return this.source.sourceText(path) ?? "";
  }

  private unknown(
    code: "unknown-step" | "unknown-name",
    what: string,
    name: string,
    known: readonly string[],
    path: readonly (string | number)[],
    atKey = code === "unknown-step",
  ): void {
    const meant = nearest(name, known);
    this.problem(code, { what, name, ...(meant === undefined ? {} : { nearest: meant }) }, path, atKey);
  }

  private problem(
    code: Finding["code"],
    params: Finding["params"],
    path: readonly (string | number)[],
    atKey = false,
  ): void {
    const node: NodePath = { file: this.file, path };
    this.findings.push({ code, severity: "error", params, node, atKey });
  }
}
