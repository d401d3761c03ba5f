/** What the author's page asks of the server; a refusal or a dead network is a value, never a throw. */

export interface ShelfEntry {
  readonly id: string;
  readonly title: string;
  readonly complaint: string;
  readonly revision: number;
  readonly equipment: readonly string[];
  /** False where errors in the text keep it from being walked. */
  readonly usable: boolean;
}

export interface ServerDraft {
  readonly text: string;
  /** SHA-256 of the text, hex: the base of the next version. */
  readonly hash: string;
  readonly at: number;
}

/** All texts that are needed to check a procedure. */
export interface ProcedureTexts {
  readonly text: string;
  /** SHA-256 of the text, hex. */
  readonly hash: string;
  readonly called: ReadonlyMap<string, string>;
  readonly equipment: ReadonlyMap<string, string>;
  readonly draft?: ServerDraft;
}

export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  /** `offline`: no answer came. `refused`: the server said why. `strange`: its answer could not be read. */
  | {
      readonly ok: false;
      readonly why: "offline" | "refused" | "strange";
      readonly code: string;
      readonly message: string;
    };

/** Returns the procedures in the trees. */
export function listProcedures(): Promise<Answer<readonly ShelfEntry[]>> {
  return call("GET", "/api/procedures", undefined, (body) => everyOf(body, parseEntry));
}

/** Returns a procedure's saved text, what it calls and stands on, and its draft; `unknown-procedure` else. */
export function fetchProcedure(id: string): Promise<Answer<ProcedureTexts>> {
  return call("GET", `/api/procedures/${encodeURIComponent(id)}`, undefined, parseTexts);
}

/** Returns the draft on the server; `unknown-draft` where there is none. */
export function fetchDraft(id: string): Promise<Answer<ServerDraft>> {
  return call("GET", `/api/drafts/${encodeURIComponent(id)}`, undefined, parseDraft);
}

/** Returns the draft as kept; `draft-conflict` where somebody else's is the draft, this one being kept beside. */
export function sendDraft(id: string, text: string, base: string | undefined): Promise<Answer<ServerDraft>> {
  const body = base === undefined ? { text } : { text, base };
  return call("PUT", `/api/drafts/${encodeURIComponent(id)}`, body, parseDraft);
}

/** Returns the hash of the text now in the trees; `text-changed` where the base is not what stands there. */
export function saveProcedure(id: string, text: string, base: string | undefined): Promise<Answer<string>> {
  const body = base === undefined ? { text } : { text, base };
  return call("PUT", `/api/procedures/${encodeURIComponent(id)}`, body, (answer) =>
    isRecord(answer) && typeof answer.hash === "string" ? answer.hash : undefined,
  );
}

async function call<T>(
  method: "GET" | "PUT",
  url: string,
  body: unknown,
  parse: (value: unknown) => T | undefined,
): Promise<Answer<T>> {
  let response: Response;
  try {
    response = await fetch(url, {
      method,
      ...(body === undefined
        ? {}
        : { body: JSON.stringify(body), headers: { "content-type": "application/json" } }),
    });
  } catch {
    return { ok: false, why: "offline", code: "offline", message: "The server does not answer." };
  }
  const json: unknown = await response.json().catch(() => undefined);
  if (!response.ok) return refusalOf(response.status, json);
  const value = parse(json);
  return value === undefined ? STRANGE : { ok: true, value };
}

const STRANGE = {
  ok: false,
  why: "strange",
  code: "strange",
  message: "The server's answer could not be read.",
} as const;

function refusalOf(status: number, body: unknown): Answer<never> {
  const error = isRecord(body) ? body.error : undefined;
  if (isRecord(error) && typeof error.code === "string" && typeof error.message === "string") {
    return { ok: false, why: "refused", code: error.code, message: error.message };
  }
  // A proxy in front of a dead server answers with a page of its own.
  if (status >= 500) {
    return { ok: false, why: "offline", code: "offline", message: "The server does not answer." };
  }
  return STRANGE;
}

function parseTexts(body: unknown): ProcedureTexts | undefined {
  if (!isRecord(body) || typeof body.text !== "string" || typeof body.hash !== "string") return undefined;
  const called = textsOf(body.called);
  const equipment = textsOf(body.equipment);
  if (!called || !equipment) return undefined;
  const draft = body.draft === undefined ? undefined : parseDraft(body.draft);
  return { text: body.text, hash: body.hash, called, equipment, ...(draft ? { draft } : {}) };
}

function parseDraft(body: unknown): ServerDraft | undefined {
  if (!isRecord(body)) return undefined;
  const { text, hash, at } = body;
  if (typeof text !== "string" || typeof hash !== "string" || typeof at !== "string") return undefined;
  const time = Date.parse(at);
  return Number.isNaN(time) ? undefined : { text, hash, at: time };
}

function parseEntry(body: unknown): ShelfEntry | undefined {
  if (!isRecord(body)) return undefined;
  const { id, title, complaint, revision, usable } = body;
  const equipment = everyOf(body.equipment, (sheet) =>
    isRecord(sheet) && typeof sheet.title === "string" ? sheet.title : undefined,
  );
  if (typeof id !== "string" || typeof title !== "string" || typeof complaint !== "string") return undefined;
  if (typeof revision !== "number" || typeof usable !== "boolean" || !equipment) return undefined;
  return { id, title, complaint, revision, usable, equipment };
}

function everyOf<T>(value: unknown, parse: (each: unknown) => T | undefined): readonly T[] | undefined {
  if (!Array.isArray(value)) return undefined;
  const parsed = value.map(parse);
  return parsed.every((each): each is T & {} => each !== undefined) ? parsed : undefined;
}

function textsOf(value: unknown): ReadonlyMap<string, string> | undefined {
  if (!isRecord(value)) return undefined;
  const entries = Object.entries(value);
  return entries.every((entry): entry is [string, string] => typeof entry[1] === "string")
    ? new Map(entries)
    : undefined;
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
