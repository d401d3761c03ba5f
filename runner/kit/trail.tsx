import { useEffect, useRef } from "react";
import type { TrailItem } from "./trail-items.ts";
import "./trail.css";

/** The earlier answers, the last one in sight; a tap on one changes it. On a wide screen they stand beside the card. */
export function Trail({
  items,
  onAmend,
}: {
  readonly items: readonly TrailItem[];
  readonly onAmend?: (seq: number) => void;
}) {
  const list = useRef<HTMLOListElement>(null);
  const last = items.at(-1)?.seq;
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new last answer is what moves the list.
  useEffect(() => {
    const element = list.current;
    element?.scrollTo({ left: element.scrollWidth });
  }, [last]);
  return (
    <nav className="trail-side" aria-label="Earlier answers">
      <h2 className="trail-head">So far</h2>
      {items.length === 0 ? (
        <p className="trail-none soft">Your answers will stand here. Tap one to change it.</p>
      ) : (
        <ol className="trail" ref={list}>
          {items.map((item) => (
            <li key={item.seq}>
              <Item item={item} onAmend={onAmend} />
            </li>
          ))}
        </ol>
      )}
    </nav>
  );
}

function Item({
  item,
  onAmend,
}: {
  readonly item: TrailItem;
  readonly onAmend: ((seq: number) => void) | undefined;
}) {
  return (
    <button
      type="button"
      className="trail-item"
      disabled={!item.amendable || onAmend === undefined}
      onClick={() => onAmend?.(item.seq)}
    >
      <span className="trail-label">{item.label}</span>
      <span className="trail-value">
        {item.reading === undefined ? null : <strong className="figure">{item.reading}</strong>} {item.value}
      </span>
      <span className="unseen">. Change this answer</span>
    </button>
  );
}
