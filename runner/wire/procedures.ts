/** The shop's procedures as they cross the network. */
import { listOf, mapOf, type Parse, parseFlag, parseNumber, parseText, shapeOf } from "./shape.ts";

/** One of `GET /api/procedures`. */
export interface ProcedureEntry {
  readonly id: string;
  readonly title: string;
  readonly complaint: string;
  readonly revision: number;
  readonly equipment: readonly { readonly id: string; readonly title: string }[];
  /** False where the text has errors that keep it from being walked. */
  readonly usable: boolean;
}

/** `GET /api/procedures/:id`: every text that is needed to walk or write it. */
export interface ProcedureTexts {
  readonly id: string;
  readonly text: string;
  /** SHA-256 of `text`, hex. */
  readonly hash: string;
  /** Called procedures by id, called ones of called ones too. */
  readonly called: ReadonlyMap<string, string>;
  /** Equipment sheets by id. */
  readonly equipment: ReadonlyMap<string, string>;
  /** What was last kept for the author and is not in the file yet. */
  readonly draft?: Draft;
}

/** `GET /api/drafts/:id`, and the answer to `PUT`. */
export interface Draft {
  readonly version: number;
  /** SHA-256 of `text`, hex: the `base` of the next version. */
  readonly hash: string;
  readonly text: string;
  /** ISO 8601, UTC. */
  readonly at: string;
}

/** Body of `PUT /api/drafts/:id`. */
export interface DraftBody {
  readonly text: string;
  /** Hash of the draft that was written over; left out for the first. */
  readonly base?: string;
}

/** Body of `PUT /api/procedures/:id`. */
export interface SaveBody {
  readonly text: string;
  /** Hash of the file's text that is written over; left out to write over whatever is there. */
  readonly base?: string;
}

/** Answer to `PUT /api/procedures/:id`. */
export interface Saved {
  readonly id: string;
  /** SHA-256 of the text now in the file, hex. */
  readonly hash: string;
}

const parseDraftShape = shapeOf<{ version: number; hash: string; text: string; at: string }, object>(
  { version: parseNumber, hash: parseText, text: parseText, at: parseText },
  {},
);

export const parseDraft: Parse<Draft> = parseDraftShape;

export const parseProcedureList: Parse<readonly ProcedureEntry[]> = listOf(
  shapeOf<
    {
      id: string;
      title: string;
      complaint: string;
      revision: number;
      equipment: readonly { id: string; title: string }[];
      usable: boolean;
    },
    object
  >(
    {
      id: parseText,
      title: parseText,
      complaint: parseText,
      revision: parseNumber,
      equipment: listOf(
        shapeOf<{ id: string; title: string }, object>({ id: parseText, title: parseText }, {}),
      ),
      usable: parseFlag,
    },
    {},
  ),
);

export const parseProcedureTexts: Parse<ProcedureTexts> = shapeOf<
  {
    id: string;
    text: string;
    hash: string;
    called: ReadonlyMap<string, string>;
    equipment: ReadonlyMap<string, string>;
  },
  { draft: Draft }
>(
  { id: parseText, text: parseText, hash: parseText, called: mapOf(parseText), equipment: mapOf(parseText) },
  { draft: parseDraftShape },
);

export const parseSaved: Parse<Saved> = shapeOf<{ id: string; hash: string }, object>(
  { id: parseText, hash: parseText },
  {},
);
