import type { EndWord } from "../../engine/procedure/model.ts";

/** What each end of a run is called, and what it means in a sentence. */
export const END_TITLES: Readonly<Record<EndWord, { readonly heading: string; readonly sentence: string }>> =
  {
    fixed: {
      heading: "Fixed and proven",
      sentence: "The fault was found, repaired, and the repair was verified.",
    },
    "fault-found": { heading: "Fault found", sentence: "The fault is known. It was not repaired here." },
    "no-fault-found": {
      heading: "No fault found",
      sentence: "The complaint could not be shown. Note the conditions it was reported under.",
    },
    referred: {
      heading: "Handed on",
      sentence: "This needs someone with the licence, the data or the tools for it. Hand over what is known.",
    },
    unresolved: {
      heading: "Not resolved",
      sentence: "The job ended without a proven fault. Nothing typed is lost.",
    },
    stopped: { heading: "Left unfinished", sentence: "The job was ended before its fault was proven." },
  };
