import { describe, expect, it } from "vitest";
import { FINDING_CODES, type FindingCode } from "../../../../engine/procedure/finding.ts";
import { type Checked, checked } from "./checked.ts";
import { spoiled } from "./defect.ts";
import { expectShown } from "./expect-shown.ts";
import type { SoundCase } from "./parts.ts";
import { DEFECTS, SOUND } from "./suite.ts";

const ALARMS = ["error", "warning"];

/** Codes that say what a run can come to: a way to it can always be shown. The others are about what is written. */
const WITNESSED: readonly FindingCode[] = [
  "dead-end",
  "endless-loop",
  "reading-gap",
  "reading-overlap",
  "reading-not-taken",
  "unsupported-conclusion",
  "no-verification",
  "missing-caution",
  "set-up-made-again",
  "hazard-not-referred",
];

function expectWitnesses({ procedure, withSheets, findings }: Checked): void {
  for (const finding of findings) {
    const { code, witness, params } = finding;
    const walked = withSheets.find(({ sheet }) => sheet?.id === params.equipment) ?? procedure;
    // What can't be run at all has no runs to show.
    if (walked === undefined) continue;
    expect([code, witness !== undefined]).toEqual([code, WITNESSED.includes(code)]);
    if (witness !== undefined) expectShown(walked, finding);
  }
}

/** The text that each finding of a code points at. */
function pointedAt(one: SoundCase, { placed }: Checked, code: FindingCode): readonly string[] {
  const texts = new Map([
    [`${one.id}.yaml`, one.text],
    ...Object.entries(one.called ?? {}).map(([id, text]) => [`${id}.yaml`, text] as const),
    ...Object.entries(one.sheets ?? {}).map(([id, text]) => [`equipment/${id}.yaml`, text] as const),
  ]);
  return placed
    .filter((finding) => finding.code === code)
    .map(({ file, from, to }) => (texts.get(file) ?? "no such file").slice(from, to));
}

describe("the sound procedures of the suite", () => {
  it.each(SOUND)("raise no alarm: $id", (one) => {
    const { procedure, placed } = checked(one);
    expect(procedure?.id).toBe(one.id);
    expect(placed.filter(({ severity }) => ALARMS.includes(severity))).toEqual([]);
  });
});

describe("a defect put into one of them", () => {
  it.each(DEFECTS)("is found, and nothing beside it: $code in $into, $what", (one) => {
    const text = spoiled(one, SOUND);
    const found = checked(text);
    const told = found.findings.filter(
      ({ code, severity }) => code === one.code || ALARMS.includes(severity),
    );
    expect(new Set(told.map(({ code }) => code))).toEqual(new Set([one.code, ...one.also]));
    const at = pointedAt(text, found, one.code);
    expect(at.filter((each) => each.startsWith(one.at) && (one.at !== "" || each === ""))).not.toEqual([]);
  });

  it.each(DEFECTS)("is shown by its witness: $code in $into, $what", (one) => {
    expectWitnesses(checked(spoiled(one, SOUND)));
  });
});

describe("the suite", () => {
  it("has 120 procedures or more, 30 of them sound", () => {
    expect(SOUND.length).toBeGreaterThanOrEqual(30);
    expect(SOUND.length + DEFECTS.length).toBeGreaterThanOrEqual(120);
    expect(new Set(SOUND.map(({ id }) => id)).size).toBe(SOUND.length);
  });

  it.each(FINDING_CODES)("has %s in five shapes or more, in four procedures or more", (code) => {
    const cases = DEFECTS.filter((one) => one.code === code);
    expect(new Set(cases.map(({ what }) => what)).size).toBeGreaterThanOrEqual(5);
    expect(new Set(cases.map(({ into }) => into)).size).toBeGreaterThanOrEqual(4);
  });
});
