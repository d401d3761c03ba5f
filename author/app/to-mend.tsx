import { useId, useState } from "react";
import { FINDING_MEANINGS } from "../../engine/procedure/finding-meanings.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { findingTitle } from "../../engine/procedure/wording.ts";
import { Button } from "../../runner/kit/button.tsx";
import type { Mend } from "../edits/mend.ts";
import type { ListedFinding } from "./check-message.ts";
import { countWords } from "./count-words.ts";
import { stepWords, toldWords, wayOf, wayWords } from "./way-words.ts";

export interface ToMendProps {
  readonly findings: readonly ListedFinding[];
  readonly selected: ListedFinding | undefined;
  readonly procedure: Procedure | undefined;
  /** It can be walked as it stands. */
  readonly walkable: boolean;
  /** How the procedure comes out, in a few words. */
  readonly figures: string | undefined;
  /** The text was typed on since this was found. */
  readonly checking: boolean;
  /** Why nothing could be checked, as a sentence. */
  readonly trouble: string | undefined;
  readonly onSelect: (finding: ListedFinding) => void;
  /** Takes the author to its place in the text. */
  readonly onGo: (finding: ListedFinding) => void;
  readonly onMend: (mend: Mend) => void;
  readonly onWalk: (finding: ListedFinding) => void;
}

/** What is to mend and to consider: the list, and the chosen one with its place, its way and its mending. */
export function ToMend(props: ToMendProps) {
  const { findings, selected, procedure, figures, checking, trouble } = props;
  const heading = useId();
  const [all, setAll] = useState(false);
  const direct = findings.filter(({ follows }) => !follows);
  const following = findings.filter(({ follows }) => follows);
  return (
    <section className="to-mend" aria-labelledby={heading} aria-busy={checking}>
      <div className="to-mend-list">
        <h2 id={heading} className="to-mend-count">
          {trouble ?? countWords(findings)}
        </h2>
        <FindingList findings={direct} selected={selected} onSelect={props.onSelect} />
        {following.length > 0 ? (
          <Button look="quiet" aria-expanded={all} onClick={() => setAll(!all)}>
            {followWords(following.length, direct.length, all)}
          </Button>
        ) : null}
        {all ? <FindingList findings={following} selected={selected} onSelect={props.onSelect} /> : null}
        {figures === undefined ? null : <p className="soft to-mend-figures">{figures}</p>}
      </div>
      {selected ? (
        <Chosen key={selected.key} {...props} chosen={selected} />
      ) : (
        <p className="soft to-mend-none">
          {findings.length === 0 && trouble === undefined && procedure
            ? "Every step is reached, every reading and answer leads somewhere, and no circle is without an end."
            : "Choose one of the list to see its place and the way that shows it."}
        </p>
      )}
    </section>
  );
}

type FindingListProps = Pick<ToMendProps, "findings" | "selected" | "onSelect">;

function FindingList({ findings, selected, onSelect }: FindingListProps) {
  if (findings.length === 0) return null;
  return (
    <ul>
      {findings.map((listed) => (
        <li key={listed.key}>
          <button
            type="button"
            className="finding-row"
            data-severity={listed.finding.severity}
            aria-pressed={listed.key === selected?.key}
            onClick={() => onSelect(listed)}
          >
            <span>{findingTitle(listed.finding.code)}</span>
            <span className="finding-place">{placeWords(listed)}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}

function followWords(following: number, direct: number, all: boolean): string {
  const from = direct === 1 ? "it" : "these";
  return all ? `Hide what may follow from ${from}` : `Show ${following} more that may follow from ${from}`;
}

function Chosen({
  chosen,
  procedure,
  walkable,
  checking,
  ...acts
}: ToMendProps & { readonly chosen: ListedFinding }) {
  const [meaning, setMeaning] = useState(false);
  const id = useId();
  const { finding, placed, mend } = chosen;
  const title = findingTitle(finding.code);
  const way = wayOf(finding);
  const chips = way.flatMap((row) => [...toldWords(procedure, row), wayWords(procedure, row)]);
  const hanging = way.find(({ hangsOn }) => hangsOn !== undefined);
  const at = finding.step;
  return (
    <article className="chosen" aria-label={title}>
      <h3>{at === undefined ? title : `${stepWords(procedure, at)}: ${lower(title)}`}</h3>
      <p>{placed.message}</p>
      {placed.mend === "" ? null : <p className="soft">{placed.mend}</p>}
      {way.length > 0 ? (
        <div className="way">
          <span id={`${id}-way`}>The way there:</span>
          <ol aria-labelledby={`${id}-way`}>
            {chips.map((words, index) => (
              // A way may come by the same step with the same outcome more than once.
              // biome-ignore lint/suspicious/noArrayIndexKey: the place in the way is the chip's identity.
              <li key={index} className="way-chip" data-last={index === chips.length - 1}>
                {words}
              </li>
            ))}
          </ol>
          {hanging ? (
            <p className="soft">
              It hangs on this at {stepWords(procedure, hanging.step)}, which these values do not meet:{" "}
              {hanging.hangsOn}
            </p>
          ) : null}
        </div>
      ) : null}
      <p className="meaning" id={`${id}-meaning`} hidden={!meaning}>
        {FINDING_MEANINGS[finding.code]}
      </p>
      <div className="chosen-acts">
        {mend ? (
          <Button small disabled={checking} onClick={() => acts.onMend(mend)}>
            {mend.label}
          </Button>
        ) : null}
        {way.length > 0 && walkable ? (
          <Button look="plain" small onClick={() => acts.onWalk(chosen)}>
            Walk this way
          </Button>
        ) : null}
        {chosen.here ? (
          <Button look="plain" small onClick={() => acts.onGo(chosen)}>
            Go to line {placed.line}
          </Button>
        ) : null}
        <Button
          look="plain"
          small
          aria-expanded={meaning}
          aria-controls={`${id}-meaning`}
          onClick={() => setMeaning(!meaning)}
        >
          What this means
        </Button>
      </div>
    </article>
  );
}

/** Returns where a finding stands: its line, the file where it is another, the equipment where it needs one. */
function placeWords({ finding, placed, here }: ListedFinding): string {
  const place = here ? `line ${placed.line}` : `${placed.file}, line ${placed.line}`;
  // Found only with this equipment sheet laid over the procedure.
  const { equipment } = finding.params;
  return equipment === undefined ? place : `${place}, ${equipment}`;
}

function lower(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
