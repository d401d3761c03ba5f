import { Button } from "../../runner/kit/button.tsx";
import type { Offer } from "../edits/draft.ts";

export interface OffersProps {
  readonly origin: Offer["origin"];
  readonly offers: readonly Offer[];
  readonly savedMoved: boolean;
  readonly onTake: (offer: Offer) => void;
  readonly onStay: () => void;
}

/** Says that there is more than one text of this procedure and lets the author choose; none is lost. */
export function Offers({ origin, offers, savedMoved, onTake, onStay }: OffersProps) {
  return (
    <section className="notice-bar" aria-label="Another text of this procedure">
      <p>
        {origin === "saved"
          ? "A draft of this procedure was found beside the saved text."
          : "You are in a draft. It differs from the saved text."}
        {savedMoved ? " The saved text was changed after this draft was begun." : ""}
      </p>
      <div className="notice-acts">
        <Button small onClick={onStay}>
          {origin === "saved" ? "Stay with the saved text" : "Go on with the draft"}
        </Button>
        {offers.map((offer) => (
          <Button key={offer.origin} small look="plain" onClick={() => onTake(offer)}>
            {takeWords(offer)}
          </Button>
        ))}
      </div>
    </section>
  );
}

function takeWords({ origin, at }: Offer): string {
  if (origin === "saved") return "Take the saved text";
  const when = at === undefined ? "" : ` of ${clock(at)}`;
  return origin === "draft-server" ? `Take the server's draft${when}` : `Take this browser's draft${when}`;
}

/** Returns day and time as people here write them. */
export function clock(at: number): string {
  return new Intl.DateTimeFormat(undefined, {
    day: "numeric",
    month: "short",
    hour: "2-digit",
    minute: "2-digit",
  }).format(at);
}
