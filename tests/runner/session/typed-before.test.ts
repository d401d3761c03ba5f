import { describe, expect, it } from "vitest";
import { EMPTY_DRAFT } from "../../../runner/kit/card-draft.ts";
import { laterDraft } from "../../../runner/session/last-key.ts";
import { draftOf } from "../../../runner/session/typed-before.ts";

describe("an earlier answer, to be typed on", () => {
  it("has the number in the field and the unit chosen", () => {
    const draft = draftOf({
      type: "reading",
      at: 0,
      step: "coil",
      reading: "22.4 kOhm",
      leads: "0.3",
      temperature: "45 degC",
      waited: 10,
    });
    expect(draft.typed).toEqual({ reading: "22.4", leads: "0.3", temperature: "45" });
    expect(draft.unit).toEqual({ reading: "kOhm", temperature: "degC" });
    expect(draft.waited).toBe(10);
  });
  it("keeps codes and sources as the words they are", () => {
    expect(
      draftOf({ type: "fact", at: 0, fact: "codes", value: ["P0480"], typed: "P0480 U0100" }).typed,
    ).toEqual({
      codes: "P0480 U0100",
    });
    expect(
      draftOf({
        type: "specification",
        at: 0,
        specification: "current",
        limits: { to: "480 A" },
        source: "data sheet 4",
      }),
    ).toMatchObject({ typed: { to: "480", source: "data sheet 4" }, unit: { to: "A" } });
  });
  it("is empty where nothing was typed", () => {
    expect(draftOf({ type: "answer", at: 0, step: "hot", answer: "yes" })).toEqual(EMPTY_DRAFT);
  });
});

describe("two copies of a draft", () => {
  const draft = (change: number) => ({ change, events: 0, card: EMPTY_DRAFT, seen: 0 });
  it("give the later one", () => {
    expect(laterDraft(draft(3), draft(4))?.change).toBe(4);
    expect(laterDraft(draft(5), draft(4))?.change).toBe(5);
    expect(laterDraft(undefined, draft(1))?.change).toBe(1);
    expect(laterDraft(undefined, undefined)).toBeUndefined();
  });
});
