import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { decodeText } from "../../../engine/procedure/decode-text.ts";
import { parseText, type RawByKind } from "../../../engine/procedure/parse.ts";
import { placeFinding } from "../../../engine/procedure/wording.ts";
import { validateProcedure } from "../../../schemas/generated/validators.js";
import { sampleText } from "../../schemas/raw-file.ts";

const SAMPLES = (["radiator-fan-stays-off.yaml", "every-key.yaml"] as const).map(sampleText);
const kind = fc.constantFrom<keyof RawByKind>("procedure", "equipment", "answers");

/** Bits that YAML gives a meaning, and bits of the format. */
const bit = fc.constantFrom(
  ..."{}[],:-?*&!|>%@`\"'#\n\t ".split(""),
  ": ",
  "\n  ",
  "- ",
  "steps",
  "__proto__",
  "goto",
  "*a",
  "&a ",
  "!!set ",
  "1 V",
  "---\n",
  "\u2028",
  "\ud800",
);
const scribble = fc.array(fc.oneof(bit, fc.string()), { maxLength: 60 }).map((bits) => bits.join(""));

/** A sample with a piece of it replaced. */
const damaged = fc
  .tuple(fc.constantFrom(...SAMPLES), fc.nat(), fc.nat({ max: 40 }), fc.oneof(scribble, bit))
  .map(([text, at, length, put]) => {
    const from = at % text.length;
    return text.slice(0, from) + put + text.slice(from + length);
  });

function check(text: string, of: keyof RawByKind): void {
  const { source, findings, raw } = parseText(text, "a.yaml", of);
  for (const finding of findings) {
    const placed = placeFinding(finding, new Map([["a.yaml", source]]));
    expect(placed.from).toBeGreaterThanOrEqual(0);
    expect(placed.to).toBeGreaterThanOrEqual(placed.from);
    expect(placed.to).toBeLessThanOrEqual(text.length);
    expect(text.split("\n")[placed.line - 1]?.length ?? 0).toBeGreaterThanOrEqual(placed.column - 1);
    expect(placed.message).not.toMatch(/[\p{Cc}\p{Cf}]|undefined|\[object/u);
  }
  if (raw === undefined) expect(findings.some(({ code }) => code === "not-procedure")).toBe(true);
  if (of === "procedure" && raw !== undefined && findings.length === 0)
    expect(validateProcedure(raw)).toBe(true);
  source.pathAt(Math.floor(text.length / 2));
}

describe("any text", () => {
  it("is read without a throw, every finding inside it and readable", () => {
    fc.assert(fc.property(scribble, kind, check), { numRuns: 300 });
  });

  it("made by damaging a sample is read without a throw, and a draft has only values of its types", () => {
    fc.assert(
      fc.property(damaged, (text) => {
        check(text, "procedure");
        const { raw } = parseText(text, "a.yaml", "procedure");
        if (raw === undefined) return;
        validateProcedure(raw);
        const broken = (validateProcedure.errors ?? []).filter(({ keyword }) =>
          /^(type|enum|const)$|additional/.test(keyword),
        );
        expect(broken).toEqual([]);
      }),
      { numRuns: 150 },
    );
  });

  it("of bytes is decoded as the platform decodes it, or refused where that refuses it", () => {
    const decoder = new TextDecoder("utf-8", { fatal: true });
    fc.assert(
      fc.property(
        fc.oneof(
          fc.uint8Array({ maxLength: 12 }),
          fc.string({ unit: "binary" }).map((text) => new TextEncoder().encode(text)),
        ),
        (data) => {
          const result = decodeText(data, "a.yaml");
          if ("text" in result) expect(result.text).toBe(decoder.decode(data));
          else if (result.finding.params.why === "not-utf-8") expect(() => decoder.decode(data)).toThrow();
        },
      ),
      { numRuns: 2000 },
    );
  });
});
