import { formatQuantity } from "../../engine/quantity/format.ts";

/** A number with its unit in bold, never broken apart. */
export function Figure({
  value,
  unit,
  lastDigit,
}: {
  readonly value: number;
  readonly unit: string;
  /** Size of the last digit shown. */
  readonly lastDigit?: number;
}) {
  return (
    <span className="figure">
      {formatQuantity(value, unit, lastDigit === undefined ? {} : { lastDigit })}
    </span>
  );
}
