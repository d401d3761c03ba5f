import { type KeyboardEvent, useRef } from "react";

const PANES = ["text", "drawing", "mend"] as const;
export type PaneName = (typeof PANES)[number];

export interface TabsProps {
  readonly pane: PaneName;
  readonly onPane: (pane: PaneName) => void;
  /** What stands in the first pane: the text, or what has taken its place. */
  readonly first: "Text" | "Walk" | "Rehearsal";
  readonly toMend: number;
}

/** On a narrow screen: one of the three panes at a time. */
export function Tabs({ pane, onPane, first, toMend }: TabsProps) {
  const buttons = useRef(new Map<PaneName, HTMLButtonElement>());
  const onKeyDown = (event: KeyboardEvent) => {
    const by = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
    const next = by === 0 ? undefined : PANES[(PANES.indexOf(pane) + by + PANES.length) % PANES.length];
    if (!next) return;
    event.preventDefault();
    onPane(next);
    buttons.current.get(next)?.focus();
  };
  const words = { text: first, drawing: "Drawing", mend: mendWords(toMend) };
  return (
    <div className="tabs" role="tablist" aria-label="Parts of the desk" onKeyDown={onKeyDown}>
      {PANES.map((name) => (
        <button
          key={name}
          ref={(button) => {
            if (button) buttons.current.set(name, button);
          }}
          type="button"
          role="tab"
          className="tab"
          aria-selected={name === pane}
          tabIndex={name === pane ? 0 : -1}
          onClick={() => onPane(name)}
        >
          {words[name]}
        </button>
      ))}
    </div>
  );
}

function mendWords(count: number): string {
  return count === 0 ? "To mend" : `To mend: ${count}`;
}
