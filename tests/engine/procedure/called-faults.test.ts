import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";

const OUTER = `
procedure: outer
title: Outer
revision: 1
complaint: It fails.
faults:
  other: { title: Something else, prior: 1 }
start: first
steps:
  first:
    ask: Does it click?
    answers: { clicks: { goto: look }, silent: { goto: refer } }
    evidence:
      look/pin-loose: { silent: 0.8 }
      otherwise: { clicks: 0.7 }
  look:
    call: inner
    after: [first]
    returns: { no-fault-found: { goto: both }, fault-found: { goto: refer } }
  both: { conclude: [look/pin-loose, other], goto: refer }
  refer: { end: referred }
`;
const INNER = `
procedure: inner
title: Inner
revision: 1
complaint: A plug may be loose.
faults:
  pin-loose: { title: Pin loose, prior: 2 }
start: tug
steps:
  tug:
    ask: Does the pin hold?
    answers: { holds: { goto: sound }, slips: { goto: sound } }
  sound: { end: no-fault-found }
`;

describe("a fault of a called procedure", () => {
  const { procedure, findings } = loadProcedure(OUTER, "outer.yaml", {
    procedure: (id) => (id === "inner" ? INNER : undefined),
    equipment: () => undefined,
  });

  it("is named step/fault in evidence and in a conclusion", () => {
    expect(findings.filter((finding) => finding.severity === "error")).toEqual([]);
    expect([...(procedure?.steps.get("first")?.evidence?.rows.keys() ?? [])]).toEqual(["look/pin-loose"]);
    const both = procedure?.steps.get("both");
    expect(both?.kind === "conclude" && both.faults).toEqual(["look/pin-loose", "other"]);
  });
});
