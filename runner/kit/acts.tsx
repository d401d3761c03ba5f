import { type ReactNode, useRef } from "react";
import { useStaysInSight } from "./stays-in-sight.ts";
import "./layout.css";

/** What is to be done, at the bottom under a thumb; in sight all the time where there is room. */
export function Acts({ long = false, children }: { readonly long?: boolean; readonly children: ReactNode }) {
  const acts = useRef<HTMLDivElement>(null);
  const { stays, covers } = useStaysInSight(acts);
  const classes = ["acts"];
  if (stays && !long) classes.push("acts-stay");
  if (covers && !long) classes.push("acts-cover");
  return (
    <div ref={acts} className={classes.join(" ")}>
      {children}
    </div>
  );
}
