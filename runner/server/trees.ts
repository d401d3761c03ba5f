/** The shop's procedures and equipment sheets, as its folder of trees holds them now. */

import { join } from "node:path";
import { MAX_BYTES } from "../../engine/procedure/decode-text.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { linkTexts } from "../session/link-texts.ts";
import type { Bundle } from "../store/store.ts";
import { textHash } from "../store/text-hash.ts";
import type { ProcedureEntry, ProcedureTexts } from "../wire/procedures.ts";
import { makeTurns } from "./in-turn.ts";
import { type ProcedureHead, readHead, readSheetTitle } from "./procedure-head.ts";
import { makeRecent } from "./recent.ts";
import { type Refusal, refuse } from "./refusal.ts";
import { isSafeId, openTreeFiles, type TextFile } from "./tree-files.ts";

/** What the folder holds of one procedure. */
type TreeTexts = Omit<ProcedureTexts, "draft">;

export interface Trees {
  /** Every procedure by id, broken ones included. */
  list(): Promise<readonly ProcedureEntry[]>;
  /** What is needed to walk or write one. */
  read(id: string): Promise<TreeTexts | Refusal>;
  /** The procedure linked with that sheet, or nothing where its text has errors or there is none. */
  link(
    id: string,
    equipment?: string,
  ): Promise<{ readonly procedure: Procedure; readonly bundle: Bundle } | undefined>;
  /** Puts a text into the folder; the hash of it. */
  save(id: string, text: string, base?: string): Promise<string | Refusal>;
}

/** Linked procedures held, and heads of texts. */
const HELD = 200;

export function openTrees(folder: string): Trees {
  const files = openTreeFiles(folder);
  const sheets = openTreeFiles(join(folder, "equipment"));
  const heads = makeRecent<ProcedureHead>(HELD);
  const titles = makeRecent<string>(HELD);
  const linked = makeRecent<Procedure | "broken">(HELD);
  const inTurn = makeTurns();

  const headOf = (file: TextFile): ProcedureHead => held(heads, file.hash, () => readHead(file.text));
  const titleOf = (id: string, file: TextFile): string =>
    held(titles, file.hash, () => readSheetTitle(file.text) ?? id);

  const called = async (head: ProcedureHead): Promise<ReadonlyMap<string, string>> => {
    const texts = new Map<string, string>();
    const waiting = [...head.calls];
    for (let id = waiting.shift(); id !== undefined; id = waiting.shift()) {
      const file = texts.has(id) ? undefined : await files.read(id);
      if (file === undefined || file === "too-large") continue;
      texts.set(id, file.text);
      waiting.push(...headOf(file).calls);
    }
    return texts;
  };

  /** The sheets a procedure lists; all there are where it lists none. */
  const sheetsOf = async (head: ProcedureHead): Promise<ReadonlyMap<string, TextFile>> => {
    const found = new Map<string, TextFile>();
    for (const id of head.equipment.length > 0 ? head.equipment : await sheets.list()) {
      const file = await sheets.read(id);
      if (file !== undefined && file !== "too-large") found.set(id, file);
    }
    return found;
  };

  const textsOf = async (id: string, file: TextFile): Promise<TreeTexts> => {
    const head = headOf(file);
    const found = await sheetsOf(head);
    return {
      id,
      text: file.text,
      hash: file.hash,
      called: await called(head),
      equipment: new Map([...found].map(([sheet, each]) => [sheet, each.text])),
    };
  };

  const linkOf = (texts: TreeTexts, equipment?: string): Procedure | undefined => {
    const key = hashOfTexts(texts, equipment);
    const found = held(linked, key, () => linkTexts(texts, equipment) ?? "broken");
    return found === "broken" ? undefined : found;
  };

  const entry = async (id: string): Promise<ProcedureEntry | undefined> => {
    const file = await files.read(id);
    if (file === undefined) return undefined;
    const bare = { id, title: id, complaint: "", revision: 0, equipment: [], usable: false };
    if (file === "too-large") return bare;
    const head = headOf(file);
    const texts = await textsOf(id, file);
    const found = await sheetsOf(head);
    return {
      ...bare,
      title: head.title ?? id,
      complaint: head.complaint ?? "",
      revision: head.revision ?? 0,
      equipment: [...found].map(([sheet, each]) => ({ id: sheet, title: titleOf(sheet, each) })),
      usable: linkOf(texts) !== undefined,
    };
  };

  return {
    async list() {
      const entries = await Promise.all((await files.list()).map(entry));
      return entries.filter((each) => each !== undefined);
    },
    async read(id) {
      const file = await files.read(id);
      if (file === undefined) return unknownProcedure(id);
      if (file === "too-large") return tooLarge();
      return textsOf(id, file);
    },
    async link(id, equipment) {
      const file = await files.read(id);
      if (file === undefined || file === "too-large") return undefined;
      const texts = await textsOf(id, file);
      const procedure = linkOf(texts, equipment);
      return procedure && { procedure, bundle: toBundle(procedure, texts) };
    },
    async save(id, text, base) {
      if (!isSafeId(id)) return unsafeId();
      if (Buffer.byteLength(text) > MAX_BYTES) return tooLarge();
      const refusal = wrongText(id, text);
      if (refusal !== undefined) return refusal;
      return inTurn(id, async () => {
        const file = await files.read(id);
        const now = file === undefined || file === "too-large" ? undefined : file.hash;
        if (base !== undefined && base !== now) return changedMeanwhile(now);
        await files.write(id, text);
        return textHash(text);
      });
    },
  };
}

function toBundle(procedure: Procedure, texts: TreeTexts): Bundle {
  const { id, text, called, equipment } = texts;
  return { hash: procedure.hash, procedure: id, text, called, equipment };
}

function unknownProcedure(id: string): Refusal {
  return refuse(404, { code: "unknown-procedure", message: `There is no procedure ${id.slice(0, 100)}.` });
}

function unsafeId(): Refusal {
  const message = "An id is of small letters, digits and single hyphens between them, at most 100.";
  return refuse(400, { code: "unsafe-id", message });
}

function tooLarge(): Refusal {
  return refuse(413, { code: "too-large", message: `A procedure has at most ${MAX_BYTES} bytes.` });
}

function wrongText(id: string, text: string): Refusal | undefined {
  const named = readHead(text).id;
  if (named === id) return undefined;
  if (named === undefined) {
    const message = "This text does not say which procedure it is: `procedure:` is missing.";
    return refuse(422, { code: "not-procedure", message });
  }
  const message = `This text says \`procedure: ${named.slice(0, 100)}\`, but it would be saved as ${id}.`;
  return refuse(422, { code: "wrong-id", message });
}

function changedMeanwhile(current: string | undefined): Refusal {
  const message = "The file was changed since this text was taken from it. Compare the two before saving.";
  return refuse(409, {
    code: "text-changed",
    message,
    ...(current === undefined ? {} : { current }),
  });
}

function hashOfTexts(texts: TreeTexts, equipment: string | undefined): string {
  return textHash(JSON.stringify([texts.text, [...texts.called], [...texts.equipment], equipment]));
}

function held<V>(
  cache: { get(key: string): V | undefined; set(key: string, value: V): void },
  key: string,
  make: () => V,
): V {
  const known = cache.get(key);
  if (known !== undefined) return known;
  const made = make();
  cache.set(key, made);
  return made;
}
