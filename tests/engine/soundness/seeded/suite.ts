/** All small procedures of the suite: the sound ones, and the defects that are put into them. */
import type { Defect } from "./defect.ts";
import { FAULT_DEFECTS } from "./defects-faults.ts";
import { FLOW_DEFECTS } from "./defects-flow.ts";
import { READING_DEFECTS } from "./defects-readings.ts";
import { SAFETY_DEFECTS } from "./defects-safety.ts";
import { TEXT_DEFECTS } from "./defects-text.ts";
import type { SoundCase } from "./parts.ts";
import { SOUND_ANSWERS } from "./sound-answers.ts";
import { SOUND_PARTS } from "./sound-parts.ts";
import { SOUND_READINGS } from "./sound-readings.ts";
import { SOUND_RECKONED } from "./sound-reckoned.ts";
import { SOUND_SAFETY } from "./sound-safety.ts";

export const SOUND: readonly SoundCase[] = [
  ...SOUND_ANSWERS,
  ...SOUND_READINGS,
  ...SOUND_RECKONED,
  ...SOUND_SAFETY,
  ...SOUND_PARTS,
];
export const DEFECTS: readonly Defect[] = [
  ...TEXT_DEFECTS,
  ...FLOW_DEFECTS,
  ...READING_DEFECTS,
  ...FAULT_DEFECTS,
  ...SAFETY_DEFECTS,
];
