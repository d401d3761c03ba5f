import { useSyncExternalStore } from "react";
import type { Run } from "../../engine/machine/run.ts";
import type { RunSession } from "../session/run-session.ts";
import { hashOf } from "./route.ts";
import { useServices } from "./services.ts";
import "./run.css";

/** The head of a job: its title, the vehicle, the minutes so far, and whether it waits to be sent. */
export function RunHead({ session, run }: { readonly session: RunSession; readonly run: Run }) {
  const { head } = session;
  // One of the two is enough to know the vehicle by; a phone has no room for both.
  const vehicle = head.unit ?? head.equipmentTitle;
  return (
    <header className="head">
      <a className="head-title name" href={hashOf({ page: "home" })}>
        {head.title}
      </a>
      <span className="run-place">
        <CutOff />
        {vehicle === undefined ? "" : `${vehicle} · `}
        {Math.round(run.minutes)}
        {"\u00a0"}min
      </span>
    </header>
  );
}

/** A small mark while what was answered can't be sent: nothing is lost by it. */
function CutOff() {
  const { isCutOff, onCutOff } = useServices();
  const cutOff = useSyncExternalStore(onCutOff, isCutOff);
  return (
    <span role="status">
      {cutOff ? (
        <>
          <strong>Offline, kept here</strong> ·{" "}
        </>
      ) : null}
    </span>
  );
}
