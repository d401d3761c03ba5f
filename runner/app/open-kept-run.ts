import type { KeptRun } from "../session/kept-run.ts";
import { linkTexts } from "../session/link-texts.ts";
import { type RunSession, resumeSession } from "../session/run-session.ts";
import type { Services } from "./services.ts";

export type OpenedRun =
  | { readonly ok: true; readonly session: RunSession }
  | { readonly ok: false; readonly message: string };

/** A kept run, ready to go on; or a sentence that says why not. Nothing kept is ever thrown away. */
export async function openKeptRun(services: Services, run: string): Promise<OpenedRun> {
  const { store, sender, news } = services;
  let kept: KeptRun | undefined;
  try {
    kept = await store.readRun(run);
  } catch {
    return { ok: false, message: "This browser could not read its kept jobs. Reload the page." };
  }
  if (kept === undefined)
    return { ok: false, message: "This job is not kept in this browser. Open it where it was begun." };
  const procedure = linkTexts(kept.texts, kept.head.equipment);
  if (procedure === undefined)
    return {
      ok: false,
      message: "The procedure of this job can't be read any more. Its record is still kept.",
    };
  const resumed = resumeSession(procedure, kept, {
    store,
    now: Date.now,
    onKept: (id) => {
      sender.wake();
      news.tell(id);
    },
  });
  return resumed.ok
    ? resumed
    : { ok: false, message: `The kept record does not hold together: ${resumed.message} It is still kept.` };
}
