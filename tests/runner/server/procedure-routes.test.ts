import { readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { parseProblem } from "../../../runner/wire/problem.ts";
import {
  parseDraft,
  parseProcedureList,
  parseProcedureTexts,
  parseSaved,
} from "../../../runner/wire/procedures.ts";
import { HORN, openShop, type Shop } from "./shop.ts";

let shop: Shop;
beforeEach(() => {
  shop = openShop();
});
afterEach(() => shop.close());

const get = (url: string) => shop.server.inject({ url });
const put = (url: string, payload: object) => shop.server.inject({ method: "PUT", url, payload });
const fileOf = (id: string) => join(shop.trees, `${id}.yaml`);
const fetchTexts = async (id = HORN) => {
  const texts = parseProcedureTexts((await get(`/api/procedures/${id}`)).json());
  if (texts === undefined) throw new Error("the answer has another shape");
  return texts;
};

describe("the shop's procedures", () => {
  it("are listed with the titles of their equipment", async () => {
    expect(parseProcedureList((await get("/api/procedures")).json())).toEqual([
      {
        id: HORN,
        title: "Horn stays silent",
        complaint: "The horn makes no sound when its button is pressed.",
        revision: 3,
        equipment: [{ id: "heron-35", title: "Heron 35" }],
        usable: true,
      },
      {
        id: "look-at-fuse",
        title: "Look at a fuse",
        complaint: "A fuse may be open.",
        revision: 1,
        equipment: [{ id: "heron-35", title: "Heron 35" }],
        usable: true,
      },
    ]);
  });

  it("are listed as not usable where their text is broken, binary, empty, deep or huge", async () => {
    const bodies = new Map<string, string | Buffer>([
      ["binary", Buffer.from([0, 255, 1, 254, 0, 7])],
      ["deep", `procedure: deep\nsteps: ${"[".repeat(10_000)}`],
      ["empty", ""],
      ["huge", `procedure: huge\ntitle: "${"x".repeat(3_000_000)}"\n`],
      ["misspelt", readFileSync(fileOf("look-at-fuse"), "utf8").replace("goto: whole", "goto: hole")],
      ["unclosed", 'procedure: unclosed\ntitle: "Unclosed <b>"\nsteps:\n  look: { ask: Does it move\n'],
    ]);
    for (const [id, body] of bodies) writeFileSync(fileOf(id), body);
    const listed = parseProcedureList((await get("/api/procedures")).json()) ?? [];
    expect(listed.filter((each) => !each.usable).map((each) => each.id)).toEqual([...bodies.keys()]);
    expect(listed.find((each) => each.id === "unclosed")?.title).toBe("Unclosed <b>");
    expect((await fetchTexts("unclosed")).text).toBe(bodies.get("unclosed"));
    expect((await get("/api/procedures/huge")).statusCode).toBe(413);
    expect(shop.logged).toEqual([]);
  });

  it("come with every text that is needed to walk them", async () => {
    const texts = await fetchTexts();
    expect(texts.text).toBe(readFileSync(fileOf(HORN), "utf8"));
    expect([...texts.called.keys()]).toEqual(["look-at-fuse"]);
    expect([...texts.equipment.keys()]).toEqual(["heron-35"]);
    expect(texts.draft).toBeUndefined();
  });

  it("are read anew when their file changed", async () => {
    const before = await fetchTexts();
    writeFileSync(fileOf(HORN), before.text.replace("Horn stays silent", "Horn is silent"));
    const listed = parseProcedureList((await get("/api/procedures")).json());
    expect(listed?.[0]?.title).toBe("Horn is silent");
    expect((await fetchTexts()).hash).not.toBe(before.hash);
  });

  it.each([
    "never",
    "..",
    "..%2Ftrees%2Flook-at-fuse",
    "%2e%2e%2f%2e%2e%2fetc%2fpasswd",
    "Horn",
    "a--b",
    "__proto__",
  ])("have none of the id %s", async (id) => {
    const answer = await get(`/api/procedures/${id}`);
    expect(answer.statusCode).toBe(404);
    expect(parseProblem(answer.json())).toBeDefined();
  });
});

describe("saving a procedure", () => {
  it("puts the text into its file and leaves nothing else behind", async () => {
    const { text, hash } = await fetchTexts();
    const changed = `${text}# One more line.\n`;
    const saved = await put(`/api/procedures/${HORN}`, { text: changed, base: hash });
    expect(saved.statusCode).toBe(200);
    expect(readFileSync(fileOf(HORN), "utf8")).toBe(changed);
    expect((await fetchTexts()).hash).toBe(parseSaved(saved.json())?.hash);
    expect(readdirSync(shop.trees).sort()).toEqual(["equipment", `${HORN}.yaml`, "look-at-fuse.yaml"]);
  });

  it("makes a new procedure where there was none", async () => {
    const text = "procedure: lamp-stays-dark\ntitle: Lamp stays dark\n";
    expect((await put("/api/procedures/lamp-stays-dark", { text })).statusCode).toBe(200);
    expect(readFileSync(fileOf("lamp-stays-dark"), "utf8")).toBe(text);
  });

  it("is refused where the file was changed since the text was taken from it", async () => {
    const { text, hash } = await fetchTexts();
    writeFileSync(fileOf(HORN), `${text}# Somebody else.\n`);
    const answer = await put(`/api/procedures/${HORN}`, { text, base: hash });
    expect(answer.statusCode).toBe(409);
    expect(parseProblem(answer.json())).toMatchObject({
      code: "text-changed",
      current: (await fetchTexts()).hash,
    });
    expect(readFileSync(fileOf(HORN), "utf8")).toContain("Somebody else");
  });

  it("is refused where the text is another procedure's or none", async () => {
    const { text } = await fetchTexts();
    const other = await put("/api/procedures/look-at-fuse", { text });
    expect([other.statusCode, parseProblem(other.json())?.code]).toEqual([422, "wrong-id"]);
    for (const none of ["", "title: x\n", "[".repeat(10_000), "\u0000"]) {
      const answer = await put(`/api/procedures/${HORN}`, { text: none });
      expect([answer.statusCode, parseProblem(answer.json())?.code]).toEqual([422, "not-procedure"]);
    }
    expect((await fetchTexts()).text).toBe(text);
  });

  it.each(["..", "..%2Fout", "a.b", ".hidden", "con%00", "A", "-a", "x".repeat(101)])(
    "writes nothing under the id %s",
    async (id) => {
      const text = `procedure: ${decodeURIComponent(id)}\n`;
      const answer = await put(`/api/procedures/${id}`, { text });
      expect([400, 404]).toContain(answer.statusCode);
      expect(readdirSync(shop.root).sort()).toEqual(["trees", "web"]);
      expect(readdirSync(shop.trees).sort()).toEqual(["equipment", `${HORN}.yaml`, "look-at-fuse.yaml"]);
    },
  );

  it("takes one of two who save over the same text at the same time", async () => {
    const { text, hash } = await fetchTexts();
    const answers = await Promise.all(
      ["# one\n", "# two\n"].map((more) => put(`/api/procedures/${HORN}`, { text: text + more, base: hash })),
    );
    expect(answers.map((each) => each.statusCode).sort()).toEqual([200, 409]);
  });
});

describe("a draft", () => {
  it("is kept, given back, and comes with its procedure until it is saved", async () => {
    const { text } = await fetchTexts();
    const draft = `${text}# Not done yet.\n`;
    const kept = parseDraft((await put(`/api/drafts/${HORN}`, { text: draft })).json());
    expect(kept).toMatchObject({ version: 1, text: draft });
    expect((await fetchTexts()).draft).toEqual(kept);
    await put(`/api/procedures/${HORN}`, { text: draft });
    expect((await fetchTexts()).draft).toBeUndefined();
    expect((await get(`/api/drafts/${HORN}`)).statusCode).toBe(404);
  });

  it("of a procedure that has no file yet is kept too, whatever it holds", async () => {
    const text = "\u0000 [ not yet YAML \u{1F527} ‮";
    await put("/api/drafts/lamp-stays-dark", { text });
    expect((await get("/api/drafts/lamp-stays-dark")).json().text).toBe(text);
  });

  it("stays when another was written over the same one, which is kept beside it", async () => {
    const one = parseDraft((await put(`/api/drafts/${HORN}`, { text: "one" })).json());
    const two = parseDraft((await put(`/api/drafts/${HORN}`, { text: "two", base: one?.hash })).json());
    const clash = await put(`/api/drafts/${HORN}`, { text: "mine", base: one?.hash });
    expect(clash.statusCode).toBe(409);
    expect(parseProblem(clash.json())).toMatchObject({ code: "draft-conflict", current: two?.hash });
    expect((await get(`/api/drafts/${HORN}`)).json().text).toBe("two");
    expect((await shop.store.draftHistory(HORN)).map((each) => each.text)).toEqual(["one", "two", "mine"]);
  });

  it("is unknown where nobody wrote one, and refused under an unsafe id", async () => {
    expect(parseProblem((await get(`/api/drafts/${HORN}`)).json())?.code).toBe("unknown-draft");
    expect((await put("/api/drafts/..%2Fx", { text: "x" })).statusCode).toBe(404);
  });
});

describe("a picture of a procedure", () => {
  const svg = '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>';

  it("is served from beside it, and runs nothing", async () => {
    writeFileSync(join(shop.trees, "horn.svg"), svg);
    const answer = await get("/api/pictures/horn.svg");
    expect(answer.statusCode).toBe(200);
    expect(answer.headers["content-type"]).toBe("image/svg+xml");
    expect(answer.headers["content-security-policy"]).toContain("sandbox");
    expect(answer.body).toBe(svg);
  });

  it("is none where it is no picture, hidden, a folder or outside", async () => {
    writeFileSync(join(shop.root, "outside.svg"), svg);
    writeFileSync(join(shop.trees, ".hidden.svg"), svg);
    symlinkSync(join(shop.root, "outside.svg"), join(shop.trees, "link.svg"));
    const files = [
      `${HORN}.yaml`,
      "..%2Foutside.svg",
      "../outside.svg",
      ".hidden.svg",
      "link.svg",
      "equipment",
      "",
    ];
    for (const file of files) {
      const answer = await get(`/api/pictures/${file}`);
      expect([file, answer.statusCode]).toEqual([file, 404]);
      expect(parseProblem(answer.json())).toBeDefined();
    }
  });
});
