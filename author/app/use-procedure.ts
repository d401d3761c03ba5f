import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import { starterText } from "../../engine/procedure/starter.ts";
import { chooseOpening, fingerprint, type Offer } from "../edits/draft.ts";
import { type KeptState, makeKeeper } from "../edits/draft-keeper.ts";
import { dropDraft, keepLeaving, putDraft, readDraft, type StoredDraft, setAside } from "./draft-store.ts";
import { fetchDraft, fetchProcedure, type ProcedureTexts, saveProcedure, sendDraft } from "./server-calls.ts";

/** How saving into the trees went, until the next change of the text. */
export type SaveState =
  | { readonly state: "none" | "saving" | "saved" }
  /** The file was changed by somebody since the text was opened: nothing was written. */
  | { readonly state: "moved" }
  | { readonly state: "failed"; readonly message: string };

/** A procedure on the author's desk. */
export interface OpenProcedure {
  readonly id: string;
  /** The text that the editor begins with; what is typed is in `text`. */
  readonly begun: string;
  /** Changes with every opening, so that the editor begins afresh. */
  readonly opening: string;
  readonly text: string;
  /** Hash of the text in the trees; absent for one never saved, or while the server is away. */
  readonly savedHash?: string;
  readonly called: ReadonlyMap<string, string>;
  readonly equipment: ReadonlyMap<string, string>;
  /** Other texts of the same procedure, to be taken or left. */
  readonly offers: readonly Offer[];
  /** Which text is in the editor, as long as others are offered. */
  readonly origin: Offer["origin"];
  readonly savedMoved: boolean;
}

type DeskState =
  | { readonly phase: "empty" }
  | { readonly phase: "opening"; readonly id: string }
  | { readonly phase: "failed"; readonly id: string; readonly message: string; readonly missing: boolean }
  | ({ readonly phase: "open" } & OpenProcedure);

export interface Desk {
  readonly state: DeskState;
  readonly kept: KeptState;
  readonly save: SaveState;
  /** The server gave no answer the last time it was asked. */
  readonly offline: boolean;
  readonly type: (text: string) => void;
  /** Sets the present text aside and gives the offered one, to be put into the editor. */
  readonly takeOffer: (offer: Offer) => Promise<void>;
  readonly dismissOffers: () => void;
  readonly saveNow: (over: boolean) => Promise<void>;
  readonly openAgain: () => void;
  readonly beginNew: () => void;
}

const KEPT: KeptState = { here: "yes", server: "yes" };

/** The text being written: opened from the server and this browser, kept in both as it is typed. */
export function useProcedure(id: string | undefined): Desk {
  const [state, setState] = useState<DeskState>({ phase: "empty" });
  const [kept, setKept] = useState<KeptState>(KEPT);
  const [save, setSave] = useState<SaveState>({ state: "none" });
  const [offline, setOffline] = useState(false);
  const [attempt, setAttempt] = useState(0);
  /** Hash of the draft on the server that the next one is written over. */
  const serverBase = useRef<string | undefined>(undefined);
  const present = useRef<StoredDraft | undefined>(undefined);

  const addOffer = useCallback((offer: Offer) => {
    setState((now) =>
      now.phase !== "open" || now.text === offer.text
        ? now
        : { ...now, offers: [offer, ...now.offers.filter(({ origin }) => origin !== offer.origin)] },
    );
  }, []);

  const keeper = useMemo(
    () =>
      makeKeeper<StoredDraft>({
        store: putDraft,
        send: async (draft) => {
          const sent = await sendDraft(draft.id, draft.text, serverBase.current);
          if (sent.ok) {
            serverBase.current = sent.value.hash;
            setOffline(false);
            return true;
          }
          if (sent.code === "draft-conflict") {
            // Somebody else keeps a draft too. The server has both; theirs is offered, ours goes on.
            const theirs = await fetchDraft(draft.id);
            if (theirs.ok) {
              serverBase.current = theirs.value.hash;
              addOffer({ origin: "draft-server", text: theirs.value.text, at: theirs.value.at });
            }
            return false;
          }
          setOffline(sent.why === "offline");
          return false;
        },
        now: Date.now,
        changed: setKept,
      }),
    [addOffer],
  );

  const begin = useCallback((open: Begun, text: string, at?: number) => {
    present.current = undefined;
    setKept(at === undefined ? KEPT : { ...KEPT, at });
    setSave({ state: "none" });
    setState({ phase: "open", ...open, text, begun: text, opening: `${open.id} ${Date.now()}` });
  }, []);

  const stateNow = useRef(state);
  useEffect(() => {
    stateNow.current = state;
  }, [state]);

  const type = useCallback(
    (text: string) => {
      const open = stateNow.current;
      if (open.phase !== "open") return;
      const { id: typedIn, savedHash: base, called, equipment } = open;
      const at = Date.now();
      const draft = { id: typedIn, text, at, called, equipment, ...(base === undefined ? {} : { base }) };
      present.current = draft;
      keeper.keep(draft);
      setState((now) => (now.phase === "open" && now.id === typedIn ? { ...now, text } : now));
      setSave((now) => (now.state === "none" ? now : { state: "none" }));
    },
    [keeper],
  );

  // biome-ignore lint/correctness/useExhaustiveDependencies: another attempt opens again.
  useEffect(() => {
    if (id === undefined) {
      setState({ phase: "empty" });
      return;
    }
    let left = false;
    setState({ phase: "opening", id });
    void openProcedure(id).then((opened) => {
      if (left) return;
      setOffline(opened.offline);
      serverBase.current = opened.serverBase;
      if (opened.open) {
        begin(opened.open, opened.text, opened.at);
        if (opened.resend) {
          present.current = opened.resend;
          keeper.keep(opened.resend);
        }
      } else setState({ phase: "failed", id, message: opened.message, missing: opened.missing });
    });
    return () => {
      left = true;
      keeper.flush();
    };
  }, [id, attempt, begin, keeper]);

  useEffect(() => {
    const leave = () => {
      if (present.current) keepLeaving(present.current.id, present.current);
      keeper.flush();
    };
    const hidden = () => {
      if (document.visibilityState === "hidden") leave();
    };
    const back = () => keeper.flush();
    addEventListener("pagehide", leave);
    addEventListener("online", back);
    document.addEventListener("visibilitychange", hidden);
    return () => {
      removeEventListener("pagehide", leave);
      removeEventListener("online", back);
      document.removeEventListener("visibilitychange", hidden);
    };
  }, [keeper]);

  const takeOffer = async (offer: Offer) => {
    if (state.phase !== "open") return;
    // Set aside first: a browser that refuses leaves the text where it is.
    await setAside({ id: state.id, text: state.text, at: Date.now() });
    setState((now) =>
      now.phase === "open"
        ? {
            ...now,
            offers: [],
            origin: offer.origin,
            savedMoved: false,
            ...(offer.origin === "saved" ? { savedHash: fingerprint(offer.text) } : {}),
          }
        : now,
    );
    setSave({ state: "none" });
  };

  const saveNow = async (over: boolean) => {
    if (state.phase !== "open" || save.state === "saving") return;
    const { id: saving, text, savedHash, offers } = state;
    setSave({ state: "saving" });
    const theirs = over ? offers.find(({ origin }) => origin === "saved") : undefined;
    if (theirs) await setAside({ id: saving, text: theirs.text, at: Date.now() }).catch(() => undefined);
    const answer = await saveProcedure(saving, text, over ? undefined : savedHash);
    if (answer.ok) {
      setOffline(false);
      setSave({ state: "saved" });
      setState((now) =>
        now.phase === "open" && now.id === saving
          ? { ...now, savedHash: answer.value, savedMoved: false, offers: [] }
          : now,
      );
      if (present.current?.text === text) {
        present.current = undefined;
        keeper.forget();
        await keeper.settle();
        await dropDraft(saving);
        serverBase.current = undefined;
        setKept(KEPT);
      }
      return;
    }
    if (answer.code === "text-changed") {
      const now = await fetchProcedure(saving);
      if (now.ok) addOffer({ origin: "saved", text: now.value.text });
      setSave({ state: "moved" });
      return;
    }
    setOffline(answer.why === "offline");
    setSave({ state: "failed", message: answer.message });
  };

  return {
    state,
    kept,
    save,
    offline,
    type,
    takeOffer,
    dismissOffers: () =>
      setState((now) => (now.phase === "open" ? { ...now, offers: [], savedMoved: false } : now)),
    saveNow,
    openAgain: () => setAttempt((now) => now + 1),
    beginNew: () => {
      if (id === undefined) return;
      const none: ReadonlyMap<string, string> = new Map();
      const text = starterText(id);
      const draft = { id, text, at: Date.now(), called: none, equipment: none };
      begin({ id, called: none, equipment: none, offers: [], origin: "draft-here", savedMoved: false }, text);
      serverBase.current = undefined;
      present.current = draft;
      keeper.keep(draft);
    },
  };
}

type Begun = Omit<OpenProcedure, "text" | "begun" | "opening">;

interface Opened {
  readonly offline: boolean;
  readonly serverBase: string | undefined;
  readonly open?: Begun;
  readonly text: string;
  /** When it was last typed on, where it is a draft. */
  readonly at?: number;
  /** A draft of this browser that the server does not have yet. */
  readonly resend?: StoredDraft;
  readonly message: string;
  readonly missing: boolean;
}

/** Brings together what the server and this browser have of a procedure. */
async function openProcedure(id: string): Promise<Opened> {
  const [answer, here] = await Promise.all([fetchProcedure(id), readDraft(id)]);
  const texts = answer.ok ? answer.value : undefined;
  const server = texts ? texts.draft : await draftAlone(id, answer.ok ? "" : answer.code);
  const opening = chooseOpening({
    ...(texts ? { saved: texts.text } : {}),
    ...(here ? { here } : {}),
    ...(server ? { server } : {}),
  });
  const offline = !answer.ok && answer.why === "offline";
  const serverBase = server?.hash;
  if (!opening) {
    const missing = !answer.ok && answer.code === "unknown-procedure";
    return { offline, serverBase, text: "", message: answer.ok ? "" : answer.message, missing };
  }
  const { chosen, others, savedMoved } = opening;
  const unsent = chosen.origin === "draft-here" && here && chosen.text !== server?.text;
  return {
    offline,
    serverBase,
    text: chosen.text,
    ...(chosen.at === undefined ? {} : { at: chosen.at }),
    open: {
      id,
      called: texts?.called ?? here?.called ?? new Map(),
      equipment: texts?.equipment ?? here?.equipment ?? new Map(),
      offers: others,
      origin: chosen.origin,
      savedMoved,
      ...savedHashOf(texts, here),
    },
    ...(unsent ? { resend: here } : {}),
    message: "",
    missing: false,
  };
}

function savedHashOf(texts: ProcedureTexts | undefined, here: StoredDraft | undefined) {
  const hash = texts ? texts.hash : here?.base;
  return hash === undefined ? {} : { savedHash: hash };
}

async function draftAlone(id: string, code: string) {
  if (code !== "unknown-procedure") return undefined;
  const draft = await fetchDraft(id);
  return draft.ok ? draft.value : undefined;
}

/** Whether the text differs from what is in the trees. */
export function differsFromSaved(open: OpenProcedure): boolean {
  return open.savedHash !== fingerprint(open.text);
}
