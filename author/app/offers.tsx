import { Button } from "../../runner/kit/button.tsx";
import type { Offer } from "../edits/draft.ts";
import { NoticeBar } from "./notice-bar.tsx";

export interface OffersProps {
  /** Which text is in the editor. */
  readonly origin: Offer["origin"];
  readonly offers: readonly Offer[];
  readonly savedMoved: boolean;
  /** Saving was refused: the file holds another text than this one was begun from. */
  readonly refused: boolean;
  readonly onTake: (offer: Offer) => void;
  readonly onStay: () => void;
  readonly onOver: () => void;
}

/** Says that there is more than one text of this procedure and lets the author choose; none is lost. */
export function Offers(props: OffersProps) {
  const { origin, offers, refused, onTake, onStay, onOver } = props;
  return (
    <NoticeBar alert={refused} text={noticeWords(props)}>
      {refused ? (
        <Button small onClick={onOver}>
          Save mine over it
        </Button>
      ) : (
        <Button small onClick={onStay}>
          {origin === "saved" ? "Stay with the saved text" : "Go on with the draft"}
        </Button>
      )}
      {offers.map((offer) => (
        <Button key={offer.origin} small look="plain" onClick={() => onTake(offer)}>
          {takeWords(offer)}
        </Button>
      ))}
    </NoticeBar>
  );
}

function noticeWords({ origin, offers, savedMoved, refused }: OffersProps): string {
  if (refused) {
    return "Not saved: somebody else changed the saved text since yours was begun. Whichever you take, the other is set aside.";
  }
  const moved = savedMoved ? " The saved text was changed after this draft was begun." : "";
  if (origin === "saved") return `A draft of this procedure is kept beside the saved text.${moved}`;
  if (offers.some((offer) => offer.origin === "saved")) {
    return `You are in a draft. It differs from the saved text.${moved}`;
  }
  return "You are in a draft. Another draft of this procedure was kept elsewhere.";
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
