import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { toLabel } from "../../../engine/drawing/label.ts";
import { drawMermaid } from "../../../engine/drawing/mermaid.ts";
import { act, ask, build, call, conclude, end, measure } from "../soundness/build-procedure.ts";

const FAN = build(
  [
    ask("hot", { yes: "feed", no: "none" }, { title: "Is it still?" }),
    measure("feed", {
      dead: ["under 1 V", "bad"],
      good: ["from 1 V", { goto: "hot", atMost: 2, else: "none" }],
    }),
    conclude("bad", "f", { verify: "clear" }),
    act("clear", "c"),
    call("c", "c/look", { "no-fault-found": "mended" }),
    { ...ask("c/look", { ok: "c/none" }), scope: "c/" },
    { ...end("c/none", "no-fault-found", "c"), scope: "c/" },
    end("mended", "fixed"),
    end("none", "no-fault-found"),
  ],
  { faults: { f: 1 }, title: "Fan" },
);

function lines(text: string) {
  return text.split("\n").map((line) => line.trim());
}

describe("a drawing", () => {
  it("has the shapes of ISO 5807 and a class for each kind of step", () => {
    expect(lines(drawMermaid(FAN).text).slice(0, 12)).toEqual([
      "flowchart TD",
      'start(["Fan"]):::start',
      'n0{"Is it still#63;"}:::ask',
      'n1[\\"feed"/]:::measure',
      'n2[["bad"]]:::conclude',
      'n3["clear"]:::do',
      'n4[["c"]]:::called',
      'subgraph g0["c"]',
      'n5{"c#47;look"}:::ask',
      'n6(["c#47;none"]):::ended',
      "end",
      'n7(["mended"]):::ended',
    ]);
  });

  it("labels branches, leads calls in and out, and leaves out the ends that nobody wrote", () => {
    const { text } = drawMermaid(FAN);
    expect(lines(text).filter((line) => line.includes("@"))).toEqual([
      "start e0@--> n0",
      'n0 e1@-->|"yes"| n1',
      'n0 e2@-->|"no"| n8',
      'n1 e3@-->|"dead"| n2',
      'n1 e4@-->|"good"| n0',
      'n1 e5@-->|"good #62; 2#215;"| n8',
      'n2 e6@-->|"repaired"| n3',
      'n3 e7@-->|"done"| n4',
      "n4 e8@--> n5",
      'n5 e9@-->|"ok"| n6',
      'n6 e10@-->|"no#45;fault#45;found"| n7',
    ]);
  });

  it("shows the conditions of a branch with several ways", () => {
    const procedure = build([
      act("a", {
        arms: [
          ['facts.fuel == "diesel"', "b"],
          [undefined, "c"],
        ],
      }),
      end("b", "referred"),
      end("c", "referred"),
    ]);
    expect(drawMermaid(procedure).text).toContain('|"done#58; facts#46;fuel #61;#61; #34;diesel#34;"|');
    expect(drawMermaid(procedure).text).toContain('|"done#58; else"|');
  });

  it("marks a way, a selected step and how often each branch was taken", () => {
    const { text } = drawMermaid(FAN, {
      highlight: [{ step: "hot", outcome: "yes" }],
      selected: "feed",
      traffic: new Map([
        ["hot:yes", 100],
        ["hot:no", 0],
      ]),
    });
    expect(lines(text)).toEqual(
      expect.arrayContaining([
        'n0 e1@==>|"yes #183; 100"| n1',
        'n0 e2@-->|"no #183; 0"| n8',
        "linkStyle 1 stroke-width:9px",
        "linkStyle 2 stroke-width:1px",
        "class n0 shown",
        "class n1 selected",
      ]),
    );
  });

  it("finds the step behind a node and its element, and the node of a step", () => {
    const drawing = drawMermaid(FAN);
    expect(drawing.nodeOf("c/look")).toBe("n5");
    expect(drawing.nodeOf("end/stopped")).toBeUndefined();
    expect(["n5", "picture-flowchart-n5-17", "start", "n99"].map((id) => drawing.stepOf(id))).toEqual([
      "c/look",
      "c/look",
      undefined,
      undefined,
    ]);
  });

  it("has a frame in a frame for a call in a called procedure", () => {
    const nested = build([
      call("a", "a/b", {}),
      { ...call("a/b", "a/b/c", {}), scope: "a/" },
      { ...end("a/b/c", "referred"), scope: "a/b/" },
      { ...end("a/d", "referred"), scope: "a/" },
      end("e", "referred"),
    ]);
    expect(lines(drawMermaid(nested).text).filter((line) => /^(subgraph|end|n\d+[[(])/.test(line))).toEqual([
      'n0[["a"]]:::called',
      'subgraph g0["a"]',
      'n1[["a#47;b"]]:::called',
      'subgraph g1["a#47;b"]',
      'n2(["a#47;b#47;c"]):::ended',
      "end",
      'n3(["a#47;d"]):::ended',
      "end",
      'n4(["e"]):::ended',
    ]);
  });
});

describe("a label", () => {
  it("holds nothing but letters, digits, spaces and entity codes, whatever the text", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        expect(toLabel(text)).toMatch(/^"(?:[\p{L}\p{M}\p{N} …]|#\d+;)+"$/u);
      }),
      { numRuns: 1_000 },
    );
  });

  it.each([
    ['"] --> x["', "#34;#93; #45;#45;#62; x#91;#34;"],
    ["<img src=x onerror=y>", "#60;img src#61;x onerror#61;y#62;"],
    ["#quot;", "#35;quot#59;"],
    ["red\u202eder", "red#65533;der"],
    ["", "#160;"],
    ["two\nlines", "two lines"],
  ])("of %j is %s", (text, label) => {
    expect(toLabel(text)).toBe(`"${label}"`);
  });

  it("is cut where it is too long", () => {
    expect(toLabel("x".repeat(500))).toBe(`"${"x".repeat(159)}#8230;"`);
  });

  it("never becomes a line of its own in the drawing", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), fc.string({ minLength: 1 }), (title, answer) => {
        const plain = drawMermaid(build([ask("a", { x: "b" }), end("b", "referred")])).text;
        const odd = drawMermaid(
          build([ask("a", { [answer]: "b" }, { title }), end("b", "referred")], { title }),
        ).text;
        const skeleton = (text: string) => text.replace(/"[^"]*"/g, '""');
        expect(skeleton(odd)).toBe(skeleton(plain));
      }),
      { numRuns: 500 },
    );
  });
});
