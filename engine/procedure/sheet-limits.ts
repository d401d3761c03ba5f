/** Whether the limits of an equipment sheet fit the steps of the procedure that it is laid over. */
import { unitOf } from "../quantity/units.ts";
import type { Linking } from "./linking.ts";
import type { Limits, LimitWord, MeasureStep, Procedure, Specification } from "./model.ts";

type Specifications = Procedure["specifications"];

/**
 * Reports what of the sheet's specifications a step can't be judged by, each at the specification in the sheet:
 * a limit of another quantity than the step's is a `unit-mismatch`; a limit that the procedure cites and the
 * sheet leaves out is an `unknown-name`, since a run would take it for no limit at all.
 */
export function checkSheetLimits(
  linking: Linking,
  specifications: Specifications,
  file: string,
  step: MeasureStep,
): void {
  const { judged } = step;
  const check = new Check(linking, specifications, file, step.id);
  if (judged.by === "specification") {
    const specification = specifications.get(judged.specification);
    if (specification !== undefined) check.specification(specification, step.unit);
  }
  if (judged.by === "bands") for (const band of judged.bands) check.limits(band, undefined, step.unit);
  if (step.plausible !== undefined) check.limits(step.plausible, undefined, step.readingUnit);
}

class Check {
  readonly #linking: Linking;
  readonly #specifications: Specifications;
  readonly #file: string;
  readonly #step: string;

  constructor(linking: Linking, specifications: Specifications, file: string, step: string) {
    this.#linking = linking;
    this.#specifications = specifications;
    this.#file = file;
    this.#step = step;
  }

  /** `holder` is the specification that the limits stand in; none for those of the step itself. */
  limits(limits: Limits, holder: Specification | undefined, unit: string): void {
    for (const end of [limits.low, limits.high]) {
      if (end === undefined) continue;
      const { limit } = end;
      if (limit.kind === "cited") this.#cited(limit.specification, limit.end, unit);
      else if (holder?.given === "equipment")
        this.#unit(holder, limit.kind === "fixed" ? limit.quantity.unit : limit.rows[0]?.[1].unit, unit);
    }
  }

  specification(specification: Specification, unit: string): void {
    const { open, given } = specification;
    if (open === undefined) this.limits(specification, specification, unit);
    else if (given === "equipment") this.#unit(specification, open.unit, unit);
  }

  /** Citations never lead round in a circle here: the linker took those out. */
  #cited(id: string, word: LimitWord, unit: string): void {
    const specification = this.#specifications.get(id);
    if (specification === undefined) return;
    const { open, given } = specification;
    const side = word === "from" || word === "over" ? "low" : "high";
    if (open !== undefined) {
      const has = open.limits.some((each) => (each === "from" || each === "over") === (side === "low"));
      if (given !== "equipment") return;
      if (has) this.#unit(specification, open.unit, unit);
      else this.#missing(specification, word);
      return;
    }
    const end = specification[side];
    if (end !== undefined) this.limits({ [side]: end }, specification, unit);
    else if (given === "equipment") this.#missing(specification, word);
  }

  #unit(specification: Specification, unit: string | undefined, stepUnit: string): void {
    const needs = unitOf(stepUnit)?.dimension;
    const dimension = unit === undefined ? undefined : unitOf(unit)?.dimension;
    if (unit === undefined || dimension === undefined || needs === undefined || dimension === needs) return;
    this.#report(specification, "unit-mismatch", { unit, needs });
  }

  #missing(specification: Specification, name: LimitWord): void {
    this.#report(specification, "unknown-name", { what: "sheet-limit", name });
  }

  #report(
    { node }: Specification,
    code: "unit-mismatch" | "unknown-name",
    params: Readonly<Record<string, string>>,
  ): void {
    this.#linking.report({ file: this.#file }, code, node.path, params, { step: this.#step });
  }
}
