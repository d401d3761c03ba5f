/** Checks texts off the page's thread, so that no check ever holds up a key. */
import type { CheckAnswer, CheckRequest, Report } from "./check-message.ts";
import { checkText } from "./check-text.ts";

addEventListener("message", ({ data }: MessageEvent<CheckRequest>) => {
  postMessage(answer(data));
});

/** An author writes one text for long: most of it is as it was a moment ago. */
let last: Report | undefined;

function answer(request: CheckRequest): CheckAnswer {
  try {
    last = checkText(request, last);
    return { kind: "report", report: last };
  } catch {
    // A check that throws is a fault of this program; the page says so, and the text is kept.
    return { kind: "broken", version: request.version };
  }
}
