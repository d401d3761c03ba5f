import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { findMend } from "../../author/edits/mend.ts";
import { applyEdits } from "../../author/edits/text-edit.ts";
import type { Finding } from "../../engine/procedure/finding.ts";

const finding = (code: Finding["code"], params: Finding["params"] = {}, step?: string): Finding => ({
  code,
  severity: "error",
  params,
  node: { file: "a.yaml", path: [] },
  ...(step === undefined ? {} : { step }),
});

/** About one reading. */
const at = (reading: string) => ({ reading, from: reading, to: reading });

/** Mends what stands between the two marks. */
function mended(marked: string, found: Finding) {
  const from = marked.indexOf("«");
  const to = marked.indexOf("»") - 1;
  const text = marked.replace(/[«»]/g, "");
  const mend = findMend(parseDocument(text), text, {
    finding: found,
    from: Math.max(0, from),
    to: Math.max(0, to),
  });
  return mend && { label: mend.label, text: applyEdits(text, mend.edits) };
}

const bands = (low: string, high: string) => `steps:
  supply: # across the plug
    measure: voltage
    bands:
      weak: { ${low},   goto: drop } # wide on purpose
      good: { ${high},  goto: coil }
`;

describe("findMend", () => {
  it("writes the name that was meant, in the quotes that were there", () => {
    const found = finding("unknown-step", { name: "fead", nearest: "feed" });
    expect(mended("goto: «fead» # keep me", found)).toEqual({
      label: "Rename to “feed”",
      text: "goto: feed # keep me",
    });
    expect(mended('goto: «"fead"»', found)?.text).toBe('goto: "feed"');
  });

  it("offers nothing where no name was near", () => {
    expect(mended("goto: «zzz»", finding("unknown-step"))).toBeUndefined();
  });

  it("closes a gap of one number by from", () => {
    expect(mended(bands("under: 22 V", "over: 22 V"), finding("reading-gap", at("22 V"), "supply"))).toEqual({
      label: "Write “from: 22 V”",
      text: bands("under: 22 V", "from: 22 V"),
    });
  });

  it("opens an overlap of one number by under", () => {
    expect(
      mended(bands("to: 22 V", "from: 22 V"), finding("reading-overlap", at("22 V"), "supply"))?.text,
    ).toBe(bands("under: 22 V", "from: 22 V"));
  });

  it("offers nothing for a gap that is wider than one number", () => {
    expect(
      mended(
        bands("under: 20 V", "over: 22 V"),
        finding("reading-gap", { from: "20 V", to: "22 V" }, "supply"),
      ),
    ).toBeUndefined();
  });

  it("closes the gap that the finding is about, and none beside it", () => {
    const text = `steps:
  supply:
    bands:
      dead: { under: 1 V }
      weak: { over: 1 V, under: 5 V }
      fair: { over: 6 V, under: 22000 mV }
      good: { over: 22000 mV }
`;
    expect(mended(text, finding("reading-gap", { from: "5 V", to: "6 V" }, "supply"))).toBeUndefined();
    expect(mended(text, finding("reading-gap", at("1 V"), "supply"))?.label).toBe("Write “from: 1 V”");
    expect(mended(text, finding("reading-gap", at("22 V"), "supply"))?.label).toBe("Write “from: 22000 mV”");
  });

  it("takes a letter that only looks like another, or one that nobody sees, out of a name", () => {
    const unseen = "fe\u200bed";
    const found = finding("unknown-step", { name: unseen, nearest: "feed" });
    expect(mended(`goto: «${unseen}»`, found)?.text).toBe("goto: feed");
  });

  it.each(["«facts.bel > 1.0»", '«"facts.bel > 1.0"»', "«'Look at {facts.bel}.'»", "«facts.bel»"])(
    "leaves alone what a name is only a part of: %s",
    (written) => {
      const found = finding("unknown-name", { what: "fact", name: "bel", nearest: "belt" });
      expect(mended(`if: ${written}`, found)).toBeUndefined();
    },
  );

  it("keeps every comment and every byte outside the word that it changes", () => {
    // Anything that may stand in a comment, but the two marks of `mended`.
    const comment = fc
      .string({ unit: "grapheme" })
      .map((text) => text.replace(/[\r\n\u0085\u2028\u2029\p{C}«»]/gu, ""));
    const spaces = fc.nat(6).map((count) => " ".repeat(count));
    fc.assert(
      fc.property(comment, comment, spaces, fc.integer({ min: 1, max: 90 }), (head, tail, gap, volts) => {
        const before = `# ${head}\n${bands(`under: ${volts} V`, "§").split("§")[0] ?? ""}`;
        const after = `:${gap} ${volts} V, goto: coil } # ${tail}\n`;
        const result = mended(`${before}over${after}`, finding("reading-gap", at(`${volts} V`), "supply"));
        expect(result?.text).toBe(`${before}from${after}`);
      }),
    );
  });
});
