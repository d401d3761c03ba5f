import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { chooseOpening, fingerprint, type Kept } from "../../author/edits/draft.ts";

const saved = "procedure: a\n";

describe("chooseOpening", () => {
  it("opens the saved text where there is no draft", () => {
    expect(chooseOpening({ saved })).toEqual({
      chosen: { origin: "saved", text: saved },
      others: [],
      savedMoved: false,
    });
  });

  it("goes on with the draft and offers the saved text where they differ", () => {
    const opening = chooseOpening({ saved, here: { text: "typed", base: fingerprint(saved), at: 5 } });
    expect(opening?.chosen).toEqual({ origin: "draft-here", text: "typed", at: 5 });
    expect(opening?.others).toEqual([{ origin: "saved", text: saved }]);
    expect(opening?.savedMoved).toBe(false);
  });

  it("says so where the saved text was changed after the draft was begun", () => {
    const opening = chooseOpening({ saved, here: { text: "typed", base: fingerprint("older"), at: 5 } });
    expect(opening?.savedMoved).toBe(true);
  });

  it("takes the draft typed on last and offers the other", () => {
    const opening = chooseOpening({
      saved,
      here: { text: "this browser", at: 5 },
      server: { text: "another machine", at: 9 },
    });
    expect(opening?.chosen.origin).toBe("draft-server");
    expect(opening?.others.map(({ origin }) => origin)).toEqual(["draft-here", "saved"]);
  });

  it("counts a draft that says what is saved as no draft", () => {
    const opening = chooseOpening({ saved, here: { text: saved, at: 5 }, server: { text: saved, at: 6 } });
    expect(opening?.chosen.origin).toBe("saved");
    expect(opening?.others).toEqual([]);
  });

  it("opens nothing where there is nothing", () => {
    expect(chooseOpening({})).toBeUndefined();
  });

  it("never loses a text: each is chosen or offered, and none twice", () => {
    const text = fc.constantFrom("a", "b", "c");
    const draft = fc.record({ text, at: fc.nat(9) }, { requiredKeys: ["text"] });
    const kept = fc.record({ saved: text, here: draft, server: draft }, { requiredKeys: [] });
    fc.assert(
      fc.property(kept, (given) => {
        const all = [given.saved, given.here?.text, given.server?.text].filter((each) => each !== undefined);
        const opening = chooseOpening(given as Kept);
        const shown = opening ? [opening.chosen, ...opening.others].map((offer) => offer.text) : [];
        expect([...shown].sort()).toEqual([...new Set(all)].sort());
      }),
    );
  });
});
