import { type ReactNode, useEffect, useRef } from "react";
import type { Findable } from "../../../engine/procedure/model.ts";
import { Acts } from "../acts.tsx";
import { Button } from "../button.tsx";
import type { CardDraft } from "../card-draft.ts";
import { lowerFirst } from "../lower-first.ts";
import { ReasonSheet } from "../reason-sheet.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import "./card-frame.css";

export interface CardFrameProps {
  readonly card: RunCardProps;
  readonly heading: string;
  /** Changes when a card moves on to its next part, so that the focus moves with it. */
  readonly part?: string;
  readonly children?: ReactNode;
  readonly acts: ReactNode;
  /** How the quiet button says that this can't be done; left out where there is no such way. */
  readonly cannot?: string;
  /** Too much to choose from to keep it all in sight at the bottom. */
  readonly longActs?: boolean;
  /** A quiet act of this part, in the place of the question why. */
  readonly aside?: ReactNode;
}

/** Heading, body, acts and the quiet ways out; every card of a run stands in one. */
export function CardFrame({ card, heading, part, children, acts, cannot, longActs, aside }: CardFrameProps) {
  const title = useRef<HTMLHeadingElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the focus moves when the part does.
  useEffect(() => {
    title.current?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }, [part]);
  return (
    <div className="card-step">
      <h1 ref={title} tabIndex={-1}>
        {heading}
      </h1>
      <div className="card-body">{children}</div>
      <Acts long={longActs ?? false}>
        {card.refusal === undefined ? null : (
          <p className="refusal" role="alert" id="refusal">
            {card.refusal}
          </p>
        )}
        {acts}
        <WaysOut card={card} cannot={cannot} aside={aside} />
      </Acts>
    </div>
  );
}

function WaysOut({
  card,
  cannot,
  aside,
}: {
  readonly card: RunCardProps;
  readonly cannot: string | undefined;
  readonly aside: ReactNode;
}) {
  const { draft, onDraft, onEvent, onKeepAsItWas, onPause } = card;
  const setReason = (reason: CardDraft["reason"]) => {
    const { reason: _, ...rest } = draft;
    onDraft(reason === undefined ? rest : { ...rest, reason });
  };
  if (onKeepAsItWas)
    return (
      <div className="quiet-acts">
        <Button look="quiet" onClick={onKeepAsItWas}>
          Keep it as it was
        </Button>
      </div>
    );
  const mayCannot =
    cannot !== undefined && card.procedure.steps.get(card.step)?.outcomes.has("cannot") === true;
  return (
    <div className="quiet-acts">
      {mayCannot ? (
        <Button look="quiet" onClick={() => setReason({ for: "cannot", text: "" })}>
          {cannot}
        </Button>
      ) : (
        <span />
      )}
      {aside ??
        (card.onWhy ? (
          <Button look="quiet" onClick={card.onWhy}>
            Why this?
          </Button>
        ) : null)}
      {card.procedure.steps.get(card.step)?.kind === "end" ? null : (
        <Button look="quiet" onClick={() => setReason({ for: "stop", text: "" })}>
          Leave the job here
        </Button>
      )}
      {draft.reason === undefined ? null : (
        <ReasonSheet
          reason={draft.reason}
          title={cannot ?? ""}
          onReason={(text) => setReason({ for: draft.reason?.for ?? "stop", text })}
          onClose={() => setReason(undefined)}
          onCannot={(reason) => onEvent({ type: "cannot", step: card.step, reason })}
          onStop={(reason) => onEvent({ type: "stop", reason })}
          {...(onPause ? { onPause } : {})}
        />
      )}
    </div>
  );
}

/** How to find the place, what to bring, what is apart now: small, under the text. */
export function Whereabouts({
  at,
  apart = [],
  tools = [],
  children,
}: {
  readonly at?: Findable;
  readonly apart?: readonly string[];
  readonly tools?: readonly string[];
  readonly children?: ReactNode;
}) {
  return (
    <>
      {at?.picture === undefined ? null : (
        <img className="card-picture" src={`/api/pictures/${at.picture.file}`} alt={at.picture.alt} />
      )}
      <div className="card-about soft">
        {children}
        {at?.where === undefined ? null : <p>Where: {at.where}</p>}
        {tools.length === 0 ? null : <p>Tools: {tools.map(toolName).join(", ")}</p>}
        {apart.length === 0 ? null : <p>Apart now: {apart.map(lowerFirst).join(", ")}</p>}
      </div>
    </>
  );
}

function toolName(id: string): string {
  return id.slice(id.lastIndexOf("/") + 1).replaceAll("-", " ");
}
