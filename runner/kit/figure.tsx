import { formatQuantity, type UnitSystem } from "../../engine/quantity/format.ts";

/** A number with its unit in bold, never broken apart. */
export function Figure({
  value,
  unit,
  lastDigit,
  system,
}: {
  readonly value: number;
  readonly unit: string;
  /** Size of the last digit shown. */
  readonly lastDigit?: number;
  /** As given where left out. */
  readonly system?: UnitSystem | undefined;
}) {
  return (
    <span className="figure">
      {formatQuantity(value, unit, {
        ...(lastDigit === undefined ? {} : { lastDigit }),
        ...(system === undefined ? {} : { system }),
      })}
    </span>
  );
}
