import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { applyEdits, type TextEdit } from "../../author/edits/text-edit.ts";

/** A text cut into pieces, every second of which an edit replaces. */
const cut = fc.array(fc.record({ kept: fc.string(), gone: fc.string(), put: fc.string() }), { maxLength: 8 });

describe("applyEdits", () => {
  it("keeps every byte outside the edits, in whatever order they come", () => {
    fc.assert(
      fc.property(cut, fc.infiniteStream(fc.nat()), (pieces, order) => {
        let at = 0;
        const edits: TextEdit[] = pieces.map(({ kept, gone, put }) => {
          const from = at + kept.length;
          at = from + gone.length;
          return { from, to: at, insert: put };
        });
        const text = pieces.map(({ kept, gone }) => kept + gone).join("");
        const keys = new Map(edits.map((edit) => [edit, order.next().value]));
        const mixed = [...edits].sort((a, b) => Number(keys.get(a)) - Number(keys.get(b)));
        // Edits that only insert at one place keep their order only when they come in it.
        fc.pre(edits.every(({ from, to }) => to > from) || mixed.every((edit, i) => edit === edits[i]));
        expect(applyEdits(text, mixed)).toBe(pieces.map(({ kept, put }) => kept + put).join(""));
      }),
    );
  });

  it("throws where two edits overlap", () => {
    const edits = [
      { from: 0, to: 3, insert: "a" },
      { from: 2, to: 4, insert: "b" },
    ];
    expect(() => applyEdits("abcdef", edits)).toThrow(RangeError);
  });
});
