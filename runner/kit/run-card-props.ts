import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Procedure, StepId } from "../../engine/procedure/model.ts";
import type { UnitSystem } from "../../engine/quantity/format.ts";
import type { CardDraft } from "./card-draft.ts";
import type { CardEvent } from "./card-event.ts";
import type { ConclusionProof } from "./proof-text.ts";

/** What the run card needs: one prompt, where it stands, and where to tell what the technician did. */
export interface RunCardProps {
  readonly prompt: Prompt;
  readonly procedure: Procedure;
  /** How far a conclusion that the prompt shows is proven; taken for proven where it is left out. */
  readonly proof?: ConclusionProof;
  /** The run's step, which a set-up or caution stands before. */
  readonly step: StepId;
  readonly draft: CardDraft;
  readonly onDraft: (draft: CardDraft) => void;
  readonly onEvent: (event: CardEvent) => void;
  /** Which units torque is shown in first. */
  readonly system: UnitSystem;
  /** The last event is being stored: nothing more is taken until it is. */
  readonly busy?: boolean;
  /** Why the last event was not taken, as a sentence. */
  readonly refusal?: string;
  /** Shows why this step comes next; left out where there is nothing to say. */
  readonly onWhy?: () => void;
  /** Shows the close-out report from the end card. */
  readonly onReport?: () => void;
  /** Leaves the run open and goes away from it; left out where there is nowhere to go. */
  readonly onPause?: () => void;
  /** An earlier answer is being changed: the ways out of the job are left out, this one goes back. */
  readonly onKeepAsItWas?: () => void;
}
