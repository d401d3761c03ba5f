import type { PutBackItem } from "../../engine/machine/prompt.ts";
import type { UnitSystem } from "../../engine/quantity/format.ts";
import { TorqueValue } from "./torque-value.tsx";
import "./put-back-list.css";

/** Everything that was taken apart, with what is back; an item not back yet can be ticked. */
export function PutBackList({
  items,
  system,
  onPutBack,
}: {
  readonly items: readonly PutBackItem[];
  readonly system: UnitSystem;
  readonly onPutBack?: (setUp: string) => void;
}) {
  return (
    <ul className="put-back">
      {items.map((item) => (
        <li key={item.setUp}>
          <label>
            <input
              type="checkbox"
              className="tick"
              checked={item.done}
              disabled={item.done || onPutBack === undefined}
              onChange={() => onPutBack?.(item.setUp)}
            />
            <span>
              {item.do}
              <span className="unseen">{item.done ? " Back." : " Not back yet."}</span>
            </span>
          </label>
          {item.torque === undefined ? null : (
            <span className="put-back-torque">
              <TorqueValue torque={item.torque} system={system} />
            </span>
          )}
        </li>
      ))}
    </ul>
  );
}
