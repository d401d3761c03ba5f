import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { plainLabels } from "../../author/app/plain-labels.ts";
import { toLabel } from "../../engine/drawing/label.ts";

describe("plainLabels", () => {
  it("gives mermaid one character for each code and puts a reference back", () => {
    const { text, restore } = plainLabels('n1{"Gate stays up#63;"}');
    expect(text).toHaveLength('n1{"Gate stays up?"}'.length);
    expect(restore(text)).toBe('n1{"Gate stays up&#63;"}');
  });

  it("never lets markup out of a label, whatever a title holds", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 40 }), (title) => {
        const { text, restore } = plainLabels(toLabel(title));
        const inside = restore(text).slice(1, -1);
        expect(inside).toMatch(/^(?:[\p{L}\p{M}\p{N} ]|&#\d+;)*$/u);
      }),
    );
  });
});
