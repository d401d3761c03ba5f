import { formatQuantity, type UnitSystem } from "../../engine/quantity/format.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { displayUnit } from "../../engine/quantity/units.ts";
import { Figure } from "./figure.tsx";
import { shownDigit } from "./shown-digit.ts";
import { VerdictPicture } from "./verdict-picture.tsx";
import {
  budgetLines,
  clearText,
  conformanceText,
  correctionText,
  meanText,
  settleText,
} from "./verdict-words.ts";
import { limitsText, nearestLimit, type VerdictZone } from "./verdict-zones.ts";
import "./verdict.css";

export interface VerdictProps {
  readonly judged: JudgedReading;
  readonly zones: readonly VerdictZone[];
  /** Units to print in; the step's where left out. */
  readonly system?: UnitSystem;
}

/**
 * One sentence with the numbers, the picture, what was corrected, what would settle it. The word is the card's
 * heading.
 */
export function Verdict({ judged, zones, system }: VerdictProps) {
  return (
    <div className="verdict">
      <VerdictSentence judged={judged} zones={zones} {...(system ? { system } : {})} />
      {zones.length === 0 ? null : (
        <VerdictPicture judged={judged} zones={zones} {...(system ? { system } : {})} />
      )}
      <Corrected judged={judged} system={system} />
      <HowSure judged={judged} />
      {judged.settle.length === 0 || judged.verdict !== "too-close" ? null : (
        <>
          <hr className="divide" />
          <section className="verdict">
            <h2>What would settle it</h2>
            {judged.settle.map((advice) => (
              <p key={advice.kind}>{settleText(advice, system)}</p>
            ))}
          </section>
        </>
      )}
    </div>
  );
}

function VerdictSentence({ judged, zones, system }: VerdictProps) {
  const figure = (
    <>
      {meanText(judged)}
      <Figure value={judged.value} unit={judged.unit} system={system} {...shownDigit(judged)} />
    </>
  );
  const quantity = (value: number) => formatQuantity(value, judged.unit, system ? { system } : {});
  const zone = zones.find((one) => one.outcome === judged.picked);
  if (zone === undefined) return <p>{figure}</p>;
  const sure =
    judged.conformance === null || judged.verdict === "too-close"
      ? null
      : ` That is ${conformanceText(judged.conformance)}.`;
  if (judged.verdict === "too-close")
    return (
      <p>
        {figure} against {nearestLimit(judged.value, zones, quantity)}. With this meter it could be either
        side. {clearText(judged, system)}
      </p>
    );
  const inside = zones.find((one) => one.tone === "inside");
  if (zone.tone === "outside" && inside !== undefined)
    return (
      <p>
        {figure}, where {limitsText(inside, quantity)} is right.{sure}
      </p>
    );
  return (
    <p>
      {figure}, {limitsText(zone, quantity)}.{sure}
    </p>
  );
}

/** What was typed and what was taken off it, in the order done. */
function Corrected({
  judged,
  system,
}: Pick<VerdictProps, "judged"> & { readonly system: UnitSystem | undefined }) {
  // What changes no digit that can be seen is not worth a word.
  const seen = judged.corrections.filter((correction) => Math.abs(correction.amount) >= judged.lastDigit / 2);
  if (seen.length === 0) return null;
  const unit = judged.readingUnit;
  const typed = /[A-Za-zΩ%°]\s*$/.test(judged.typed)
    ? judged.typed
    : `${judged.typed}\u00a0${displayUnit(unit)}`;
  return (
    <p className="soft">
      You typed <span className="figure">{typed}</span>;{" "}
      {seen.map((correction, index) => (
        <span key={correction.kind}>
          {index === 0 ? "" : ", "}
          <Figure value={Math.abs(correction.amount)} unit={unit} lastDigit={judged.lastDigit} />{" "}
          {correction.kind === "leads"
            ? `was the leads, as ${correction.from}`
            : `the temperature (${correctionText(correction, unit, system)})`}
        </span>
      ))}
      .
    </p>
  );
}

/** Where the doubt comes from, line by line, for those who ask. */
function HowSure({ judged }: Pick<VerdictProps, "judged">) {
  const lines = budgetLines(judged);
  if (lines.length === 0 || judged.conformance === null) return null;
  return (
    <details className="how-sure">
      <summary>How sure is this?</summary>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </details>
  );
}
