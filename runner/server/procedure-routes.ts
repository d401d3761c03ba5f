/** The shop's procedures and the author's drafts of them. */

import type { FastifyInstance } from "fastify";
import { MAX_BYTES } from "../../engine/procedure/decode-text.ts";
import type { DraftVersion, Store } from "../store/store.ts";
import type { Draft, DraftBody, SaveBody, Saved } from "../wire/procedures.ts";
import { isRefusal, type Refusal, refuse } from "./refusal.ts";
import { isSafeId } from "./tree-files.ts";
import type { Trees } from "./trees.ts";

const TEXT = { type: "string", maxLength: MAX_BYTES };
const HASH = { type: "string", pattern: "^[0-9a-f]{64}$" };

interface ById {
  Params: { id: string };
}

/** A text written in JSON may be longer than itself: every line end is two letters there. */
const BODY_LIMIT = MAX_BYTES * 3;

export interface ProcedureParts {
  readonly store: Store;
  readonly trees: Trees;
  readonly now: () => number;
  /** Told when texts were kept that were not known before. */
  readonly onKept: () => void;
}

export function routeProcedures(
  server: FastifyInstance,
  { store, trees, now, onKept }: ProcedureParts,
): void {
  server.get("/api/procedures", async () => trees.list());

  server.get<ById>("/api/procedures/:id", async ({ params: { id } }) => {
    const texts = await trees.read(id);
    if (isRefusal(texts)) return texts;
    const linked = await trees.link(id);
    if (linked !== undefined) await store.keepBundle(linked.bundle, now());
    const draft = await store.readDraft(id);
    return {
      id,
      text: texts.text,
      hash: texts.hash,
      called: Object.fromEntries(texts.called),
      equipment: Object.fromEntries(texts.equipment),
      ...(draft === undefined || draft.hash === texts.hash ? {} : { draft: toDraft(draft) }),
    };
  });

  server.put<ById & { Body: SaveBody }>(
    "/api/procedures/:id",
    {
      bodyLimit: BODY_LIMIT,
      schema: { body: bodyOf({ text: TEXT, base: HASH }) },
    },
    async ({ params: { id }, body }): Promise<Saved | Refusal> => {
      const hash = await trees.save(id, body.text, body.base);
      if (isRefusal(hash)) return hash;
      await store.markSaved(id, hash);
      onKept();
      return { id, hash };
    },
  );

  server.get<ById>("/api/drafts/:id", async ({ params: { id } }): Promise<Draft | Refusal> => {
    const draft = await store.readDraft(id);
    return draft === undefined ? unknownDraft(id) : toDraft(draft);
  });

  server.put<ById & { Body: DraftBody }>(
    "/api/drafts/:id",
    { bodyLimit: BODY_LIMIT, schema: { body: bodyOf({ text: TEXT, base: HASH }) } },
    async ({ params: { id }, body: { text, base } }): Promise<Draft | Refusal> => {
      if (!isSafeId(id)) return unknownDraft(id);
      const draft = { procedure: id, text, ...(base === undefined ? {} : { base }), at: now() };
      const { kept, conflict } = await store.keepDraft(draft);
      return conflict === undefined ? toDraft(kept) : draftConflict(kept, conflict);
    },
  );
}

function bodyOf(properties: object) {
  return { type: "object", properties, required: ["text"], additionalProperties: false };
}

function toDraft({ version, hash, text, at }: DraftVersion): Draft {
  return { version, hash, text, at: new Date(at).toISOString() };
}

function unknownDraft(id: string): Refusal {
  return refuse(404, { code: "unknown-draft", message: `There is no draft of ${id.slice(0, 100)}.` });
}

function draftConflict(kept: DraftVersion, current: DraftVersion): Refusal {
  const message = `Somebody else wrote on this draft. Yours is kept as version ${kept.version}, theirs is version ${current.version}.`;
  return refuse(409, { code: "draft-conflict", message, current: current.hash, kept: kept.hash });
}
