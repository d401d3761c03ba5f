import { AskCard } from "./card/ask-card.tsx";
import { CautionsCard } from "./card/cautions-card.tsx";
import { ConcludedCard } from "./card/concluded-card.tsx";
import { DoCard } from "./card/do-card.tsx";
import { EndCard } from "./card/end-card.tsx";
import { FactCard } from "./card/fact-card.tsx";
import { MeasureCard } from "./card/measure-card.tsx";
import { RepairCard } from "./card/repair-card.tsx";
import { SetUpCard } from "./card/set-up-card.tsx";
import { SpecificationCard } from "./card/specification-card.tsx";
import type { RunCardProps } from "./run-card-props.ts";
import "./layout.css";

/**
 * One prompt as a screen. Give it a `key` that changes with every prompt: the focus then moves to the new
 * heading. What the technician does comes back through `onEvent`, what is half typed through `onDraft`.
 */
export function RunCard(card: RunCardProps) {
  const { prompt } = card;
  switch (prompt.kind) {
    case "fact":
      return <FactCard card={card} prompt={prompt} />;
    case "specification":
      return <SpecificationCard card={card} prompt={prompt} />;
    case "set-up":
      return <SetUpCard card={card} prompt={prompt} />;
    case "cautions":
      return <CautionsCard card={card} prompt={prompt} />;
    case "ask":
      return <AskCard card={card} prompt={prompt} />;
    case "measure":
      return <MeasureCard card={card} prompt={prompt} />;
    case "do":
      return <DoCard card={card} prompt={prompt} />;
    case "repair":
      return <RepairCard card={card} prompt={prompt} />;
    case "concluded":
      return <ConcludedCard card={card} prompt={prompt} />;
    case "end":
      return <EndCard card={card} prompt={prompt} />;
  }
}
