import { type ReactNode, useRef } from "react";
import { Settling, useSettling } from "./settling.ts";
import { useStaysInSight } from "./stays-in-sight.ts";
import "./layout.css";

/** What is to be done, at the bottom under a thumb; in sight all the time where there is room. */
export function Acts({ long = false, children }: { readonly long?: boolean; readonly children: ReactNode }) {
  const acts = useRef<HTMLDivElement>(null);
  const { stays, covers } = useStaysInSight(acts);
  const settling = useSettling();
  const classes = ["acts"];
  if (stays && !long) classes.push("acts-stay");
  if (covers && !long) classes.push("acts-cover");
  return (
    <div ref={acts} className={classes.join(" ")}>
      <Settling value={settling}>{children}</Settling>
    </div>
  );
}
