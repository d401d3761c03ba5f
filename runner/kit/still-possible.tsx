import { Bar } from "./bar.tsx";
import { shareText } from "./share-text.ts";
import "./verdict.css";

export interface PossibleFault {
  readonly fault: string;
  readonly title: string;
  readonly probability: number;
}

const SHOWN = 5;

/** The faults still possible, likeliest first, as bars with words; what is left over in one row. */
export function StillPossible({
  faults,
  all = false,
  title = "Still possible",
}: {
  readonly faults: readonly PossibleFault[];
  /** Every fault, those that are out as well. */
  readonly all?: boolean;
  readonly title?: string;
}) {
  const shown = all ? faults : faults.filter((fault) => fault.probability > 0).slice(0, SHOWN);
  const rest = all ? 0 : faults.slice(SHOWN).reduce((sum, fault) => sum + fault.probability, 0);
  return (
    <section className="verdict">
      <h2>{title}</h2>
      <ul className="possible">
        {shown.map((fault) => (
          <Row key={fault.fault} title={fault.title} probability={fault.probability} />
        ))}
        {rest > 0 ? <Row title="All others" probability={rest} /> : null}
      </ul>
    </section>
  );
}

function Row({ title, probability }: { readonly title: string; readonly probability: number }) {
  return (
    <li className="possible-row">
      <span>{title}</span>
      <Bar share={probability} />
      <span className="possible-share">{shareText(probability)}</span>
    </li>
  );
}
