import { Button } from "../kit/button.tsx";
import { Sheet } from "../kit/sheet.tsx";
import { Choice } from "./choice.tsx";
import { prefer, usePreferences } from "./preferences.ts";

/** Who works here, in which units, in light or dark: chosen once, remembered in this browser. */
export function SettingsSheet({ onClose }: { readonly onClose: () => void }) {
  const { technician, system, theme } = usePreferences();
  return (
    <Sheet title="Settings" onClose={onClose}>
      <label className="field">
        <span className="field-label">Your role in the record, never a name</span>
        <input
          value={technician}
          autoComplete="off"
          spellCheck={false}
          onChange={(change) => prefer({ technician: change.target.value })}
        />
      </label>
      <Choice
        title="Torque first in"
        options={[
          { id: "si", label: "N·m" },
          { id: "us", label: "lbf·ft, lbf·in" },
        ]}
        value={system}
        onChange={(id) => prefer({ system: id })}
      />
      <Choice
        title="Screen"
        options={[
          { id: "device", label: "As the device" },
          { id: "light", label: "Light" },
          { id: "dark", label: "Dark" },
        ]}
        value={theme}
        onChange={(id) => prefer({ theme: id })}
      />
      <Button onClick={onClose}>Keep these</Button>
    </Sheet>
  );
}
