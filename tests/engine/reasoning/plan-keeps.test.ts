import { describe, expect, it } from "vitest";
import { bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { bestPlan } from "../../../engine/reasoning/plan/best-plan.ts";
import { type PlanTree, planned, planReport } from "../../../engine/reasoning/plan/plan-report.ts";
import { planText } from "../../../engine/reasoning/plan/plan-text.ts";
import { writtenPlan } from "../../../engine/reasoning/plan/written-plan.ts";
import { meanMinutes, writtenWays } from "../../../engine/reasoning/plan/written-ways.ts";
import { checked } from "../soundness/seeded/checked.ts";

interface Parts {
  readonly steps: string;
  readonly head?: string;
  /** Priors of the faults; each has a repair and, unless `concluded` says otherwise, a conclusion of its own. */
  readonly priors?: Readonly<Record<string, number>>;
  readonly concluded?: string;
}

const NO = (fault: string) => `evidence: { ${fault}: { "no": 0.98 }, otherwise: { "yes": 0.98 } }`;
/** Three faults, each with a test of its own in the order lamp, fuse, coil; the first takes longest. */
const LAMP_STEP = (next: string) => `
  lamp:
    ask: Is the lamp lit?
    minutes: 20
    answers: { "yes": { goto: ${next} }, "no": { goto: lamp-bad } }
    ${NO("lamp")}`;
const FUSE_STEP = `
  fuse:
    ask: Is the fuse whole?
    minutes: 10
    answers: { "yes": { goto: coil }, "no": { goto: fuse-bad } }
    ${NO("fuse")}`;
const COIL_STEP = `
  coil:
    ask: Is the coil firm?
    minutes: 1
    answers: { "yes": { goto: hand-over }, "no": { goto: coil-bad } }
    ${NO("coil")}`;
/** Leads to the lamp for one kind of winch, to the fuse for the other. */
const KIND_STEP = `
  kind:
    ask: Is it the old kind?
    minutes: 9
    answers: { old: { goto: lamp }, new: { goto: fuse } }
    evidence: { lamp: { old: 0.7 }, otherwise: { new: 0.6 } }`;

function textOf({ steps, head = "", priors = { lamp: 5, fuse: 3, coil: 2 }, concluded }: Parts): string {
  const faults = Object.entries(priors);
  const own = faults.map(([fault]) => `  ${fault}-bad: { conclude: ${fault}, verify: pulls }`).join("\n");
  return `
procedure: winch
title: Winch
revision: 1
complaint: It does not pull.
cautions:
  high: { signal: danger, hazard: High voltage., consequence: It kills., avoid: Keep away., covers: [electric-high] }
${head}
faults:
${faults.map(([fault, prior]) => `  ${fault}: { title: ${fault}, prior: ${prior}, repair: mend-${fault} }`).join("\n")}
repairs:
${faults.map(([fault]) => `  mend-${fault}: { minutes: 5, do: [ { say: Mend it. } ] }`).join("\n")}
start: lamp
steps:${steps}
${concluded ?? own}
  pulls: { ask: Does it pull?, answers: { "yes": { goto: mended }, "no": { goto: hand-over } } }
  mended: { end: fixed }
  hand-over: { end: referred }
`;
}

function planOf(text: string) {
  const { procedure } = checked({ id: "winch", text });
  const both = procedure && planned(procedure);
  if (both === undefined) throw new Error("no plan");
  return { both, report: planReport(both) };
}

/** What is asked on each way through the best order, up to a step. */
function askedBefore(
  tree: PlanTree,
  step: string,
  asked: readonly string[] = [],
): readonly (readonly string[])[] {
  if (!("step" in tree)) return [];
  if (tree.step === step) return [asked];
  return tree.outcomes.flatMap(({ outcome, next }) =>
    askedBefore(next, step, [...asked, `${tree.step}=${outcome}`]),
  );
}

describe("the best order", () => {
  it("may turn a plain row of tests round", () => {
    const { report } = planOf(textOf({ steps: LAMP_STEP("fuse") + FUSE_STEP + COIL_STEP }));
    // By hand, were the tests never wrong: 20 + 10 × 0.5 + 1 × 0.2 as written, 1 + 10 × 0.8 + 20 × 0.5 at best.
    expect("step" in report.best.tree && report.best.tree.step).toBe("coil");
    expect(Math.abs(report.written.expectedMinutes - 25.2)).toBeLessThan(0.5);
    expect(Math.abs(report.best.expectedMinutes - 19)).toBeLessThan(0.5);
    expect(report.stays).toEqual([]);
  });

  it("keeps every test behind the act that the order has in front of it, right behind or not", () => {
    const lock = "\n  lock: { do: Lock out the supply., minutes: 3, done: { goto: fuse } }";
    const { report } = planOf(textOf({ steps: LAMP_STEP("lock") + lock + FUSE_STEP + COIL_STEP }));
    for (const step of ["fuse", "coil"])
      for (const asked of askedBefore(report.best.tree, step)) expect(asked).toContain("lock=done");
    // What the lamp shows is worth nothing once the supply is off.
    expect(askedBefore(report.best.tree, "lock")).toEqual([["lamp=yes"]]);
    expect(askedBefore(report.best.tree, "coil")).toEqual([["lamp=yes", "lock=done"]]);
    expect(report.moves).toEqual([{ ask: "coil", before: "fuse", saves: expect.any(Number) }]);
  });

  it("asks a test that one answer alone leads to after that answer, and not after another", () => {
    // The lamp is for one kind of winch, the fuse for the other; either leads on to the coil.
    const steps = KIND_STEP + LAMP_STEP("coil").replace("20", "1") + FUSE_STEP.replace("10", "2") + COIL_STEP;
    const { report } = planOf(textOf({ steps }).replace("start: lamp", "start: kind"));
    for (const asked of askedBefore(report.best.tree, "lamp")) expect(asked).toContain("kind=old");
    for (const asked of askedBefore(report.best.tree, "fuse")) expect(asked).toContain("kind=new");
    // What every answer leads to may come first.
    expect(askedBefore(report.best.tree, "coil")).toEqual([[]]);
  });

  it("moves no test in front of one that does something for safety which it does not do itself", () => {
    const head = `set-ups:
  chocked: { do: Chock the wheels., minutes: 1, hazards: [moving-vehicle], cautions: [rolls], put-back: none }`;
    const rolls =
      "  rolls: { signal: warning, hazard: It rolls., consequence: It crushes., avoid: Chock it., covers: [moving-vehicle] }";
    const fuse = FUSE_STEP.replace("minutes: 10", "minutes: 10\n    needs: [chocked]");
    const text = (coil: string) =>
      textOf({ steps: LAMP_STEP("fuse") + fuse + coil, head }).replace(
        "cautions:\n",
        `cautions:\n${rolls}\n`,
      );
    const { report } = planOf(text(COIL_STEP));
    for (const asked of askedBefore(report.best.tree, "coil")) expect(asked).toContain("fuse=yes");
    const chocking = COIL_STEP.replace("minutes: 1", "minutes: 1\n    needs: [chocked]");
    const own = planOf(text(chocking)).report;
    // Chocked itself it may come before the fuse, but the lamp is looked at before anything is chocked.
    expect(askedBefore(own.best.tree, "coil")).toEqual([["lamp=yes"]]);
    expect(askedBefore(own.best.tree, "fuse")).toEqual([["lamp=yes", "coil=yes"]]);
  });

  it.each([
    ["opens the housing first", "needs: [let-off]", "needs: [opened, let-off]"],
    [
      "shows the caution only behind its own set-up",
      "cautions: [sprays]",
      "needs: [opened]\n    cautions: [sprays]",
    ],
    ["has a pump run that is not there yet", "", "needs: [running]"],
    ["lets off what the other is judged by", "", "needs: [bled]"],
    ["must be without what the other needs", "needs: [running]", "without: [running]"],
  ])("moves no test in front of another where it %s", (_, fuse, coil) => {
    const head = `set-ups:
  let-off: { do: Let the pressure off., minutes: 1, cautions: [sprays], put-back: { do: Pump it up., minutes: 0 } }
  opened: { do: Open the housing., minutes: 1, put-back: { do: Close it., minutes: 0 } }
  running: { do: Start the pump., minutes: 1, hazards: [rotating], put-back: { do: Stop it., minutes: 0 } }
  bled: { do: Bleed the line., minutes: 1, put-back: none }`;
    const sprays =
      "  sprays: { signal: warning, hazard: It sprays., consequence: It cuts., avoid: Let it off., covers: [stored-pressure] }";
    const steps =
      FUSE_STEP.replace("minutes: 10", `minutes: 10\n    ${fuse}`) +
      COIL_STEP.replace("minutes: 1", `minutes: 1\n    ${coil}`);
    const text = textOf({ steps, head, priors: { fuse: 3, coil: 2 } });
    const { report } = planOf(
      text.replace("start: lamp", "start: fuse").replace("cautions:\n", `cautions:\n${sprays}\n`),
    );
    expect(askedBefore(report.best.tree, "coil")).toEqual([["fuse=yes"]]);
    expect(report.moves).toEqual([]);
  });

  it.each([
    ["both of which show a caution", "cautions: [rolls]", [[]]],
    // Nothing is chocked yet where the kind is asked for.
    ["both of which need what makes safe", "needs: [chocked]", [["kind=old"], ["kind=new"]]],
  ])("asks a test behind two others in its turn only, %s that it does not", (_, safe, sooner) => {
    const head = `set-ups:
  chocked: { do: Chock the wheels., minutes: 1, hazards: [moving-vehicle], cautions: [rolls], put-back: none }`;
    const rolls =
      "  rolls: { signal: warning, hazard: It rolls., consequence: It crushes., avoid: Chock it., covers: [moving-vehicle] }";
    const either = (LAMP_STEP("coil") + FUSE_STEP).replaceAll(/minutes: .*/g, `$&\n    ${safe}`);
    const text = (coil: string) =>
      textOf({ steps: KIND_STEP + either + coil, head })
        .replace("start: lamp", "start: kind")
        .replace("cautions:\n", `cautions:\n${rolls}\n`);
    const { report } = planOf(text(COIL_STEP));
    const coil = askedBefore(report.best.tree, "coil");
    expect(coil.map((asked) => asked.join(" ")).sort()).toEqual(["kind=new fuse=yes", "kind=old lamp=yes"]);
    expect(report.stays).toEqual([{ step: "coil", why: "behind" }]);
    expect(report.moves).toEqual([]);
    // One that does as much for safety itself may come first.
    const own = planOf(text(COIL_STEP.replace("minutes: 1", `minutes: 1\n    ${safe}`))).report;
    expect(askedBefore(own.best.tree, "coil")).toEqual(sooner);
  });

  it("asks in its turn what finds a prop made by one step on one way and taken out by another on the other", () => {
    const head = `set-ups:
  propped: { do: Prop it., minutes: 1, hazards: [lifting], put-back: { do: Take the prop out., minutes: 1 } }`;
    const fuse = FUSE_STEP.replace("minutes: 10", "minutes: 10\n    without: [propped]").replace(
      '"no": { goto: fuse-bad }',
      '"no": { goto: fuse-bad }, odd: { goto: relay }',
    );
    const coil = COIL_STEP.replace("minutes: 1", "minutes: 12\n    needs: [propped]").replace(
      "goto: hand-over",
      "goto: relay",
    );
    const relay = COIL_STEP.replaceAll("coil", "relay");
    const lamp = LAMP_STEP("fuse").replace("minutes: 20", "minutes: 20\n    needs: [propped]");
    const priors = { lamp: 5, fuse: 3, coil: 2, relay: 2 };
    const { report } = planOf(textOf({ steps: lamp + fuse + coil + relay, head, priors }));
    expect(askedBefore(report.best.tree, "relay")).toEqual([
      ["lamp=yes", "fuse=yes", "coil=yes"],
      ["lamp=yes", "fuse=odd"],
    ]);
    expect(report.stays).toEqual([{ step: "relay", why: "behind" }]);
  });

  it.each([
    ["each of two others leads to by one answer alone", "fuse"],
    ["one answer of another alone leads to on one way, and nothing stands before it on the other", "coil"],
  ])("asks in its turn only what %s", (_, second) => {
    const kind = KIND_STEP.replace("new: { goto: fuse }", `new: { goto: ${second} }`).replace(
      "lamp:",
      "relay:",
    );
    const gates = (LAMP_STEP("coil") + (second === "fuse" ? FUSE_STEP : ""))
      .replaceAll(/goto: (lamp|fuse)-bad/g, "goto: relay")
      .replaceAll(/evidence: .*/g, NO("relay"));
    const coil = COIL_STEP.replace("goto: hand-over", "goto: relay");
    const relay = COIL_STEP.replaceAll("coil", "relay").replace("minutes: 1", "minutes: 9");
    const priors = { relay: 5, coil: 5 };
    const text = textOf({ steps: kind + gates + coil + relay, priors }).replace("start: lamp", "start: kind");
    const { report } = planOf(text);
    expect(report.stays).toEqual([{ step: "coil", why: "behind" }]);
    const asked = askedBefore(report.best.tree, "coil");
    expect(asked.length).toBeGreaterThan(0);
    for (const before of asked)
      if (before.includes("kind=old")) expect(before).toContain("lamp=yes");
      else if (second === "fuse") expect(before).toEqual(expect.arrayContaining(["kind=new", "fuse=yes"]));
      else expect(before).toContain("kind=new");
  });

  it("asks a question without evidence where the order has it, and what only one answer leads to behind it", () => {
    const off = `
  off:
    ask: Is the charger off?
    minutes: 3
    answers: { "yes": { goto: fuse }, "no": { goto: take-off } }
  take-off: { do: Take it off., minutes: 2, done: { goto: fuse } }`;
    const { report } = planOf(textOf({ steps: LAMP_STEP("off") + off + FUSE_STEP + COIL_STEP }));
    expect(askedBefore(report.best.tree, "off")).toEqual([["lamp=yes"]]);
    expect(askedBefore(report.best.tree, "take-off")).toEqual([["lamp=yes", "off=no"]]);
    const fuse = askedBefore(report.best.tree, "fuse").map((asked) => asked.join(" "));
    expect(fuse.length).toBeGreaterThan(0);
    for (const asked of fuse) expect(asked).toMatch(/^lamp=yes off=(yes|no take-off=done)/);
  });

  it("moves nothing that meets high voltage, and nothing in front of what leads there", () => {
    const coil = COIL_STEP.replace(
      "minutes: 1",
      "minutes: 1\n    hazards: [electric-high]\n    cautions: [high]",
    );
    const { report } = planOf(textOf({ steps: LAMP_STEP("fuse") + FUSE_STEP + coil }));
    expect(report.stays).toEqual([
      { step: "fuse", why: "licensed" },
      { step: "coil", why: "licensed" },
    ]);
    expect(report.best.expectedMinutes).toBeCloseTo(report.written.expectedMinutes, 9);
  });

  it("ends where an answer says so, and asks nothing sooner that stands behind the question", () => {
    const fuse = FUSE_STEP.replace(
      '"no": { goto: fuse-bad }',
      '"no": { goto: fuse-bad }, smell: { goto: danger }',
    )
      .replace('{ "no": 0.98 }', '{ "no": 0.5, smell: 0.48 }')
      .replace("minutes: 10", "minutes: 1");
    const steps = `${LAMP_STEP("fuse")}${fuse}${COIL_STEP}\n  danger: { end: referred, say: Stop. }`;
    const { report } = planOf(textOf({ steps }));
    expect(report.stays).toEqual([{ step: "fuse", why: "leads" }]);
    for (const asked of askedBefore(report.best.tree, "coil")) expect(asked).toContain("fuse=yes");
    expect(askedBefore(report.best.tree, "fuse")).toEqual([["lamp=yes"]]);
  });

  it("takes a test to stay of which one answer asks for an act and the others conclude", () => {
    const coil = COIL_STEP.replace('"yes": { goto: hand-over }', '"yes": { goto: lamp-bad }').replace(
      '"no": { goto: coil-bad }',
      '"no": { goto: air }',
    );
    const air = "\n  air: { do: Open the doors., minutes: 1, done: { goto: coil-bad } }";
    const lamp = LAMP_STEP("fuse").replace("goto: lamp-bad", "goto: fuse");
    const { report } = planOf(textOf({ steps: lamp + FUSE_STEP + coil + air }));
    expect(report.stays).toEqual([{ step: "coil", why: "leads" }]);
    for (const asked of askedBefore(report.best.tree, "coil")) expect(asked).toContain("fuse=yes");
  });

  it.each([
    ["keeps", "the one that found something", "no", [{ step: "fuse", why: "leads" }]],
    ["may move", "the one that found nothing", "yes", []],
  ])("%s a test that leads to a referral by a conclusion without a repair, by %s", (_, __, word, stays) => {
    const fuse = FUSE_STEP.replace("goto: coil", "goto: hand-over")
      .replace(new RegExp(`"${word}": { goto: [a-z-]+ }`), `"${word}": { goto: leak-bad }`)
      .replace("minutes: 10", "minutes: 1");
    const lamp = LAMP_STEP("coil");
    const coil = COIL_STEP.replace("goto: hand-over", "goto: fuse").replace("minutes: 1", "minutes: 9");
    const concluded = `
  lamp-bad: { conclude: lamp, verify: pulls }
  fuse-bad: { conclude: fuse, verify: pulls }
  coil-bad: { conclude: coil, verify: pulls }
  leak-bad: { conclude: ${word === "no" ? "fuse" : "leak"}, goto: danger }
  danger: { end: referred, say: It leaks. Nobody presses a switch. }`;
    const text = textOf({
      steps: lamp + coil + fuse,
      priors: { lamp: 5, fuse: 3, coil: 2, leak: 2 },
      concluded,
    });
    expect(planOf(text).report.stays).toEqual(stays);
  });

  it("takes a last test to stay, too, where its end is not the one that failed repairs lead to", () => {
    const coil = COIL_STEP.replace("goto: hand-over", "goto: danger");
    const steps = `${LAMP_STEP("fuse")}${FUSE_STEP}${coil}\n  danger: { end: referred, say: Stop. }`;
    expect(planOf(textOf({ steps })).report.stays).toEqual([{ step: "coil", why: "leads" }]);
  });

  it.each([
    [
      "an end that failed repairs lead to, but not because it finds nothing",
      '"no": 0.4, "yes": 0.4, smell: 0.2',
    ],
    ["an end by an answer that the evidence says never comes", '"no": 0.5, "yes": 0.5'],
  ])("takes a last test to stay where an answer leads to %s", (_, otherwise) => {
    const coil = COIL_STEP.replace(
      '"no": { goto: coil-bad }',
      '"no": { goto: coil-bad }, smell: { goto: danger }',
    )
      .replace('"yes": { goto: hand-over }', '"yes": { goto: coil-bad }')
      .replace('{ "no": 0.98 }', '{ "no": 0.6, "yes": 0.4 }')
      .replace('{ "yes": 0.98 }', `{ ${otherwise} }`);
    const steps = `${LAMP_STEP("fuse")}${FUSE_STEP}${coil}\n  danger: { end: referred, say: Stop. }`;
    const text = textOf({ steps }).replace(
      '"no": { goto: hand-over } } }\n  mended',
      '"no": { goto: danger } } }\n  mended',
    );
    expect(planOf(text).report.stays).toContainEqual({ step: "coil", why: "leads" });
  });

  it("asks only of the kind that a test is for what its condition says, and is written down by nobody", () => {
    const lamp = LAMP_STEP("fuse").replace(
      '"yes": { goto: fuse }',
      `"yes": { then: [ { if: "facts.kind == 'old'", goto: fuse }, { goto: coil } ] }`,
    );
    const head = "facts: { kind: { ask: Which kind?, choices: { old: Old, new: New } } }";
    const text = textOf({ steps: lamp + FUSE_STEP + COIL_STEP, head });
    const { both, report } = planOf(text);
    for (const asked of askedBefore(report.best.tree, "fuse")) expect(asked).toContain("facts/kind=old");
    expect(report.lowerBound).toBeLessThanOrEqual(report.best.expectedMinutes);
    expect(report.best.expectedMinutes).toBeLessThanOrEqual(report.written.expectedMinutes);
    expect(planText(text, both.plan, writtenPlan(both.plan, both.best), "winch")).toMatchObject({
      ok: false,
      why: "condition",
    });
  });

  it("keeps a reading in front of what is judged by it", () => {
    const lamp = LAMP_STEP("fuse")
      .replace("ask: Is the lamp lit?", "measure: voltage\n    unit: V\n    say: Read.")
      .replace(
        /answers: .*/,
        "bands: { bad: { under: 10 V, goto: lamp-bad }, good: { from: 10 V, goto: fuse } }",
      )
      .replace(/evidence: .*/, "evidence: { lamp: { bad: 0.98 }, otherwise: { good: 0.98 } }");
    const fuse = FUSE_STEP.replace(
      "ask: Is the fuse whole?",
      "measure: voltage\n    unit: V\n    say: Read.\n    value: readings.lamp - reading",
    )
      .replace(/answers: .*/, "bands: { bad: { over: 1 V, goto: fuse-bad }, good: { to: 1 V, goto: coil } }")
      .replace(/evidence: .*/, "evidence: { fuse: { bad: 0.98 }, otherwise: { good: 0.98 } }");
    const { both, report } = planOf(textOf({ steps: lamp + fuse + COIL_STEP }));
    const number = (id: string) => both.plan.problem.tests.findIndex((test) => test.id === id);
    expect(both.plan.problem.tests[number("fuse")]?.after).toEqual([number("lamp")]);
    for (const asked of askedBefore(report.best.tree, "fuse")) expect(asked.join()).toContain("lamp=");
  });

  it("concludes no fault that nothing has spoken for yet, however likely it is left", () => {
    // After a sound coil the lamp's fault has 90 in 97, over the 0.8 that are needed; the fuse's would go unfound.
    const priors = { lamp: 90, fuse: 7, coil: 3 };
    const { both, report } = planOf(textOf({ steps: LAMP_STEP("fuse") + FUSE_STEP + COIL_STEP, priors }));
    const { written, best } = both.found ?? {};
    expect(
      best?.right.map((share, fault) => share / (written?.right[fault] ?? 0)).every((p) => p > 0.9),
    ).toBe(true);
    expect(report.best.shares?.isolated).toBeGreaterThan(0.9);
  });

  it("comes to a conclusion of several repairs where the order does, and nowhere else", () => {
    const lamp = LAMP_STEP("coil")
      .replace("goto: lamp-bad", "goto: either")
      .replace("evidence: {", 'evidence: { fuse: { "no": 0.98 },');
    const concluded = `
  either: { conclude: [lamp, fuse], verify: pulls }
  coil-bad: { conclude: coil, verify: pulls }`;
    const { report } = planOf(textOf({ steps: lamp + COIL_STEP, concluded }));
    expect(report.best.expectedMinutes).toBeLessThanOrEqual(report.written.expectedMinutes);
    // A sound coil alone would prove that it is one of the two.
    expect(askedBefore(report.best.tree, "lamp")).toEqual([["coil=yes"]]);
    expect(report.best.shares?.isolated).toBeGreaterThan(0.9);
  });

  it("asks what the order asks where there is one fault only", () => {
    const { report } = planOf(textOf({ steps: LAMP_STEP("hand-over"), priors: { lamp: 1 } }));
    expect(report.best.expectedMinutes).toBe(20);
    expect(report.best.shares?.isolated).toBeCloseTo(0.98, 9);
  });

  it("asks something where the other fault is never there", () => {
    const priors = { lamp: 0, coil: 1 };
    const { report } = planOf(textOf({ steps: LAMP_STEP("coil") + COIL_STEP, priors }));
    // The coil first: 98 in 100 end there, the others have the lamp looked at.
    expect(report.best.expectedMinutes).toBeCloseTo(1 + 20 * 0.02, 9);
    expect(report.written.expectedMinutes).toBeCloseTo(20 + 0.98, 9);
  });

  it("is written down where nothing tells faults apart, too", () => {
    const lamp = LAMP_STEP("hand-over").replace(/ {4}evidence: .*/, "");
    const text = textOf({ steps: lamp, priors: { lamp: 1 } });
    const { both } = planOf(text);
    const made = planText(text, both.plan, writtenPlan(both.plan, both.best), "winch");
    if (!made.ok) throw new Error(made.step);
    const errors = checked({ id: "winch", text: made.text }).findings.filter(
      (one) => one.severity === "error",
    );
    expect(errors).toEqual([]);
  });

  it.each([
    ["as the author wrote it", "lamp", "fuse", "coil"],
    ["with a test moved in front", "coil", "lamp", "fuse"],
  ])("is written down %s with the act that a rare answer asks for", (_, first, second, third) => {
    const row = first === "lamp" ? ["lamp", "fuse", "coil"] : ["lamp", "coil", "fuse"];
    const steps: Readonly<Record<string, string>> = {
      lamp: LAMP_STEP(row[1] ?? ""),
      coil: COIL_STEP.replace("hand-over", row[2] === "coil" ? "hand-over" : "fuse"),
      fuse: FUSE_STEP.replace("goto: coil", row[2] === "fuse" ? "goto: hand-over" : "goto: coil")
        .replace('"no": { goto: fuse-bad }', '"no": { goto: fuse-bad }, smokes: { goto: cut }')
        .replace('{ "no": 0.98 }', '{ "no": 0.98, smokes: 0.001 }')
        .replace('{ "yes": 0.98 }', '{ "yes": 0.98, smokes: 0.001 }'),
    };
    const ends = `
  cut: { do: Pull the plug., minutes: 2, done: { goto: danger } }
  danger: { end: referred, say: Nobody plugs it in again. }`;
    const text = textOf({ steps: row.map((step) => steps[step]).join("") + ends });
    const { both } = planOf(text);
    const written = writtenPlan(both.plan, both.best);
    const idOf = (target: typeof written.first | undefined) =>
      target !== undefined && "node" in target
        ? both.plan.problem.tests[written.nodes[target.node]?.test ?? -1]?.id
        : undefined;
    expect(idOf(written.first)).toBe(first);
    const made = planText(text, both.plan, written, "winch");
    if (!made.ok) throw new Error(made.step);
    const { procedure } = checked({ id: "winch", text: made.text });
    const leads = (step: string, outcome: string) =>
      procedure?.steps
        .get(step)
        ?.outcomes.get(outcome)
        ?.arms.map(({ goto }) => goto);
    expect([leads(first, "yes"), leads(second, "yes")]).toEqual([[second], [third]]);
    expect([leads("fuse", "smokes"), leads("cut", "done")]).toEqual([["cut"], ["danger"]]);
  });

  it("is the written one where that comes to a step twice, and says so", () => {
    const again = `
  again: { do: Clean it., minutes: 1, done: { goto: lamp } }`;
    const lamp = LAMP_STEP("fuse").replace(
      '"no": { goto: lamp-bad }',
      '"no": { goto: again, at-most: 1, else: lamp-bad }',
    );
    const { report } = planOf(textOf({ steps: lamp + again + FUSE_STEP + COIL_STEP }));
    expect(report.notCompared).toEqual([{ why: "twice", step: "lamp" }]);
    expect(report.best.expectedMinutes).toBe(report.written.expectedMinutes);
    expect(report.moves).toEqual([]);
  });

  it("puts back first what a step never finds apart in the author's order, and counts that", () => {
    const head = `set-ups:
  lid-off: { do: Lid off., minutes: 1, put-back: { do: Lid on., minutes: 1 } }
  plug-out: { do: Plug out., minutes: 1, needs: [lid-off], put-back: { do: Plug in., minutes: 1 } }`;
    const needing = (step: string, setUp: string) => step.replace(/minutes: .*/, `$&\n    needs: [${setUp}]`);
    const steps = needing(LAMP_STEP("fuse"), "lid-off") + FUSE_STEP + needing(COIL_STEP, "plug-out");
    const text = textOf({ steps, head });
    const { both, report } = planOf(text);
    expect("step" in report.best.tree && report.best.tree.step).toBe("coil");
    const made = planText(text, both.plan, writtenPlan(both.plan, both.best), "winch");
    if (!made.ok) throw new Error(made.why);
    const { procedure } = checked({ id: "winch", text: made.text });
    const behind = procedure?.steps.get("coil")?.outcomes.get("yes")?.arms[0]?.goto ?? "";
    expect(procedure?.steps.get(behind)).toMatchObject({ needs: [], without: ["plug-out"] });
    // By the text's own ways: what the plan says, but for answers that come seldom.
    expect(
      procedure && Math.abs(meanMinutes(writtenWays(bulkProcedure(procedure))) - report.best.expectedMinutes),
    ).toBeLessThan(0.2);
  });

  it("makes no repair beside a hazard that the author's order has not there", () => {
    const head = `certainty: 0.9
set-ups:
  running: { do: Start the pump., minutes: 1, hazards: [rotating], put-back: { do: Stop it., minutes: 0 } }`;
    const lamp = LAMP_STEP("fuse").replace('otherwise: { "yes": 0.98 }', 'coil: { "no": 0.3 }, $&');
    const steps =
      lamp +
      FUSE_STEP.replace("minutes: 10", "minutes: 1") +
      COIL_STEP.replace("minutes: 1", "minutes: 1\n    needs: [running]");
    const text = textOf({ steps, head });
    const { both, report } = planOf(text);
    // A lamp that is dark then is not proven, by 4.9 of 5.56; the coil is looked at, with the pump running.
    expect(askedBefore(report.best.tree, "coil")).toContainEqual(["fuse=yes", "lamp=no"]);
    const made = planText(text, both.plan, writtenPlan(both.plan, both.best), "winch");
    if (!made.ok) throw new Error(made.why);
    const { procedure } = checked({ id: "winch", text: made.text });
    const stopped = [...(procedure?.repairs.values() ?? [])].filter((each) =>
      each.without.includes("running"),
    );
    expect(stopped.map(({ id }) => id)).toEqual(["mend-lamp"]);
  });

  it("in a text of copies is asked in no free order", () => {
    // The glow tells the lamp from the rest a little; what is asked next hangs on it.
    const glow = `
  glow:
    ask: Does it glow?
    minutes: 1
    answers: { much: { goto: lamp }, little: { goto: lamp } }
    evidence: { lamp: { much: 0.9 }, otherwise: { little: 0.9 } }`;
    const text = textOf({ steps: glow + LAMP_STEP("fuse") + FUSE_STEP + COIL_STEP, head: "free-order: true" })
      .replace("start: lamp", "start: glow")
      .replace("minutes: 10", "minutes: 4\n    after: [glow]");
    const { both } = planOf(text);
    const best = bestPlan(both.plan.problem);
    const made = planText(text, both.plan, writtenPlan(both.plan, best), "winch");
    if (!made.ok) throw new Error(made.step);
    expect(made.text).toMatch(/-2:/);
    expect(made.text).not.toContain("free-order");
  });
});
