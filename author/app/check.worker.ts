/** Checks texts off the page's thread, so that no check ever holds up a key. */
import type { CheckAnswer, CheckRequest } from "./check-message.ts";
import { checkText } from "./check-text.ts";

addEventListener("message", ({ data }: MessageEvent<CheckRequest>) => {
  postMessage(answer(data));
});

function answer(request: CheckRequest): CheckAnswer {
  try {
    return { kind: "report", report: checkText(request) };
  } catch {
    // A check that throws is a fault of this program; the page says so, and the text is kept.
    return { kind: "broken", version: request.version };
  }
}
