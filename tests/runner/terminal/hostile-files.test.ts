import { readFileSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import { TREES } from "../../trees.ts";
import { isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);
/** What the program takes to start on this machine at this moment. */
const startUp = probewright("--help").took;

const nested = (depth: number) => `${"a: [".repeat(1)}${"[".repeat(depth)}${"]".repeat(depth)}]\n`;
const bomb = [
  "a: &a [x, x, x, x, x, x, x, x, x]",
  ..."bcdefghi".split("").map((name, index) => {
    const before = "abcdefgh"[index];
    return `${name}: &${name} [${Array(9).fill(`*${before}`).join(", ")}]`;
  }),
].join("\n");

const HOSTILE: readonly (readonly [string, string | Uint8Array])[] = [
  ["binary.yaml", Uint8Array.from({ length: 4096 }, (_, index) => (index * 37) % 256)],
  ["empty.yaml", ""],
  ["blank.yaml", "\n\n   \n"],
  ["huge.yaml", "x".repeat(50 * 1024 * 1024)],
  ["nested.yaml", nested(10_000)],
  [
    "nested-maps.yaml",
    Array.from({ length: 10_000 }, (_, depth) => `${" ".repeat(depth % 300)}k${depth}:`).join("\n"),
  ],
  ["bomb.yaml", bomb],
  ["list.yaml", "- one\n- two\n"],
  ["objects.yaml", "procedure: !!js/function 'function () { return 1 }'\n"],
];

describe("a file that is no procedure", () => {
  it.each(HOSTILE)(
    "gives clear findings within two seconds under check, and one line under run: %s",
    (name, content) => {
      const file = files.path(name, content);
      const checked = probewright("check", file);
      expect(checked.code).toBe(1);
      expect(checked.took - startUp).toBeLessThan(2);
      expect(checked.out).toContain(`${file}:`);
      expect(isPresentable(checked)).toBe(true);
      const json = JSON.parse(probewright("check", "--json", file).out) as {
        files: { findings: { code: string; line: number; column: number; message: string }[] }[];
      };
      expect(json.files[0]?.findings.length).toBeGreaterThan(0);
      expect(json.files[0]?.findings[0]?.line).toBeGreaterThan(0);
      const run = probewright("run", file);
      expect(run.code).toBe(2);
      expect(run.out).toBe("");
      expect(run.err.trim().split("\n")).toHaveLength(1);
      expect(isPresentable(run)).toBe(true);
    },
  );

  it.each(["binary.yaml", "empty.yaml", "huge.yaml", "nested.yaml", "bomb.yaml"])(
    "is one finding, not many: %s",
    (name) => {
      const { files: checked } = JSON.parse(probewright("check", "--json", files.path(name)).out) as {
        files: { findings: { code: string }[] }[];
      };
      expect(checked[0]?.findings.map((finding) => finding.code)).toEqual(["not-procedure"]);
    },
  );

  it("that is not there is a usage error with exit code 2", () => {
    const checked = probewright("check", files.path("nowhere.yaml"));
    expect(checked.code).toBe(2);
    expect(checked.err).toContain("no such file");
    const json = JSON.parse(probewright("check", "--json", files.path("nowhere.yaml")).out) as {
      error: { code: string; file: string };
    };
    expect(json.error.code).toBe("not-found");
  });
});

describe("a shipped procedure", () => {
  const text = readFileSync(`${TREES}radiator-fan-stays-off.yaml`, "utf8");

  it("with a misspelt step name is refused with its place and the name meant", () => {
    const at = text.search(/goto: fuse\b/);
    const broken = `${text.slice(0, at)}goto: fsue${text.slice(at + "goto: fuse".length)}`;
    const file = files.path("radiator-fan-stays-off.yaml", broken);
    const line = text.slice(0, at).split("\n").length;
    const column = at - text.lastIndexOf("\n", at) + "goto: ".length;
    const checked = probewright("check", file);
    expect(checked.code).toBe(1);
    expect(checked.out).toContain(`${file}:${line}:${column}: error:`);
    expect(checked.out).toMatch(/fuse/);
    expect(checked.out).toContain("[unknown-step]");
  });
});

describe("names and texts made to break things", () => {
  const text = [
    "procedure: odd-names",
    'title: "Red \\x1b[31m and <script>alert(1)</script>"',
    "revision: 1",
    "complaint: It fails.",
    "faults:",
    "  constructor: { title: One, prior: 1, repair: toString }",
    "  other: { title: Something else, prior: 1 }",
    "repairs:",
    "  toString: { minutes: 5, do: [ { say: Mend it. } ] }",
    "start: __proto__",
    "steps:",
    "  __proto__:",
    "    ask: Is it the first?",
    "    answers:",
    "      hasOwnProperty: { goto: constructor }",
    "      valueOf: { goto: refer }",
    "    evidence:",
    "      constructor: { hasOwnProperty: 0.99 }",
    "      otherwise: { valueOf: 0.99 }",
    "  constructor: { conclude: constructor, verify: again }",
    "  again:",
    "    ask: Does it work now?",
    "    answers: { works: { goto: done }, fails: { goto: refer } }",
    "  refer: { end: referred }",
    "  done: { end: fixed }",
    "",
  ].join("\n");

  it("are ordinary: a procedure of them is sound, and is walked to its fault", () => {
    const file = files.path("odd-names.yaml", text);
    const checked = probewright("check", "--json", file);
    const { files: found } = JSON.parse(checked.out) as { files: { findings: { severity: string }[] }[] };
    expect(found[0]?.findings.filter((finding) => finding.severity === "error")).toEqual([]);
    expect(checked.code).toBe(0);
    const answers = files.path("odd-answers.yaml", "__proto__: hasOwnProperty\nagain: works\n");
    const ran = probewright("run", file, "--answers", answers, "--json");
    expect(ran.code).toBe(0);
    const result = JSON.parse(ran.out) as {
      end: string;
      faults: { fault: string }[];
      path: { step: string }[];
    };
    expect(result.end).toBe("fixed");
    expect(result.faults[0]?.fault).toBe("constructor");
    expect(result.path.map((row) => row.step)).toEqual(["__proto__", "constructor", "again", "done"]);
  });

  it("are shown, never obeyed, in the terminal", () => {
    const file = files.path("odd-names.yaml", text);
    const answers = files.path("odd-answers.yaml", "__proto__: hasOwnProperty\nagain: works\n");
    const ran = probewright("run", file, "--answers", answers);
    expect(isPresentable(ran)).toBe(true);
    expect(ran.out).toContain("\\x1b[31m");
  });
});
