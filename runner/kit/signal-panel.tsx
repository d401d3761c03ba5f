import type { Caution } from "../../engine/procedure/model.ts";
import "./signal-panel.css";

/**
 * A caution: signal word, hazard, consequence, avoidance. The only place where safety colours occur.
 * Colours and the alert symbol (none on a notice) by ANSI Z535.4 and Z535.6.
 */
export function SignalPanel({
  caution,
  brief = false,
}: {
  readonly caution: Caution;
  /** Only what to do about it: for a caution that was read in full before. */
  readonly brief?: boolean;
}) {
  return (
    <div className={`signal signal-${caution.signal}`}>
      <p className="signal-word">
        {caution.signal === "notice" ? null : <AlertSymbol />}
        {caution.signal}
      </p>
      <div className="signal-text">
        {brief ? null : (
          <p>
            {caution.hazard}
            {caution.consequence === undefined ? null : ` ${caution.consequence}`}
          </p>
        )}
        <p className="signal-avoid">{caution.avoid}</p>
      </div>
    </div>
  );
}

function AlertSymbol() {
  return (
    <svg viewBox="0 0 24 21" aria-hidden="true">
      <path
        fill="currentcolor"
        fillRule="evenodd"
        d="M12 0.5a1.6 1.6 0 0 1 1.4 0.8l10.2 17.3a1.6 1.6 0 0 1-1.4 2.4H1.8a1.6 1.6 0 0 1-1.4-2.4L10.6 1.3A1.6 1.6 0 0 1 12 0.5zM10.6 7l0.5 7h1.8l0.5-7zM12 15.4a1.4 1.4 0 1 0 0 2.8 1.4 1.4 0 0 0 0-2.8z"
      />
    </svg>
  );
}
