import { quantityText } from "./quantity-text.ts";

/** A number with its unit in bold, never broken apart. */
export function Figure({
  value,
  unit,
  places,
}: {
  readonly value: number;
  readonly unit: string;
  readonly places?: number;
}) {
  return <span className="figure">{quantityText(value, unit, places)}</span>;
}
