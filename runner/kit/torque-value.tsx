import type { Torque } from "../../engine/procedure/model.ts";
import { torqueText, type UnitSystem } from "./torque-text.ts";

/** A torque in both unit systems, the chosen one first and in bold. */
export function TorqueValue({ torque, system }: { readonly torque: Torque; readonly system: UnitSystem }) {
  const { first, second } = torqueText(torque, system);
  return (
    <span className="torque">
      <span className="figure">{first}</span>
      {second === undefined ? null : <span className="soft figure-plain"> ({second})</span>}
    </span>
  );
}
