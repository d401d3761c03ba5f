import type { Torque } from "../../engine/procedure/model.ts";
import type { UnitSystem } from "../../engine/quantity/format.ts";
import { torqueText } from "./torque-text.ts";

/** A torque in both unit systems, the chosen one first and in bold. */
export function TorqueValue({ torque, system }: { readonly torque: Torque; readonly system: UnitSystem }) {
  const { first, second } = torqueText(torque, system);
  return (
    <span className="torque">
      <span className="figure">{first}</span>
      <span className="soft figure-plain"> ({second})</span>
    </span>
  );
}
