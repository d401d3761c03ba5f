/** What every store keeps to: one suite, run over each implementation. */
import { describe, expect, it } from "vitest";
import type { BranchTally, RunTally } from "../../../engine/audit/count-branches.ts";
import type { Bundle, RunDigest, Store } from "../../../runner/store/store.ts";

export function describeStore(name: string, open: () => Store): void {
  describe(`a ${name} store`, () => {
    const withStore = async (work: (store: Store) => Promise<void>) => {
      const store = open();
      try {
        await work(store);
      } finally {
        await store.close();
      }
    };
    const fact = (sentence: string, work: (store: Store) => Promise<void>) =>
      it(sentence, () => withStore(work));

    describeRuns(fact);
    describeTallies(fact);
    describeTexts(fact);
    describeDrafts(fact);
  });
}

type Fact = (sentence: string, work: (store: Store) => Promise<void>) => void;

const opened = Date.parse("2031-03-04T08:00:00Z");

/** A run of the demo shop as far as it goes: each traversal one minute after the one before. */
function digest(
  branches: readonly (readonly [step: string, outcome: string])[],
  more: Partial<RunDigest> = {},
) {
  return {
    opened,
    latest: opened + branches.length * 60_000,
    procedure: "radiator-fan-stays-off",
    revision: 1,
    hash: "a".repeat(64),
    traversals: branches.map(([step, outcome], index) => ({
      step,
      outcome,
      seq: index + 1,
      at: opened + (index + 1) * 60_000,
      seconds: 60,
    })),
    ...more,
  } satisfies RunDigest;
}

function describeRuns(fact: Fact): void {
  fact("gives back the lines in order, batch after batch", async (store) => {
    expect(await store.append({ run: "r1", after: 0, lines: ["a", "b"], digest: digest([]) })).toBe(true);
    expect(await store.append({ run: "r1", after: 2, lines: ["c"], digest: digest([]) })).toBe(true);
    expect(await store.readLines("r1")).toEqual(["a", "b", "c"]);
  });

  fact("stores nothing of a batch that follows lines it does not have, or has passed", async (store) => {
    await store.append({ run: "r1", after: 0, lines: ["a"], digest: digest([["hot", "yes"]]) });
    for (const after of [0, 2]) {
      const late = digest([["hot", "no"]]);
      expect(await store.append({ run: "r1", after, lines: ["x"], digest: late })).toBe(false);
    }
    expect(await store.append({ run: "r2", after: 1, lines: ["x"], digest: digest([]) })).toBe(false);
    expect(await store.readLines("r1")).toEqual(["a"]);
    expect(await store.readLines("r2")).toEqual([]);
    expect(await store.tallyBranches("radiator-fan-stays-off")).toEqual([
      { step: "hot", outcome: "yes", seconds: 60, count: 1 },
    ]);
  });

  fact("knows no lines of a run it never saw", async (store) => {
    expect(await store.readLines("never")).toEqual([]);
  });

  fact("keeps runs, procedures and steps called __proto__ and constructor like any other", async (store) => {
    for (const id of ["__proto__", "constructor", "toString"]) {
      const named = digest([[id, id]], { procedure: id });
      expect(await store.append({ run: id, after: 0, lines: [id], digest: named })).toBe(true);
      expect(await store.readLines(id)).toEqual([id]);
      expect(await store.tallyBranches(id)).toEqual([{ step: id, outcome: id, seconds: 60, count: 1 }]);
    }
  });

  fact("keeps every character of a line", async (store) => {
    const line = '{"say":"0.4 kΩ \u0000 \u2028 ‮ 🔧 \' \\" %"}';
    await store.append({ run: "r1", after: 0, lines: [line], digest: digest([]) });
    expect(await store.readLines("r1")).toEqual([line]);
  });

  fact("lists the latest run first, with what its record tells, up to the limit", async (store) => {
    const told = { equipment: "heron-35", technician: "tech-1", unit: "van 12" };
    const first = digest([["hot", "no"]], { ...told, end: "no-fault-found", seconds: 60 });
    await store.append({ run: "older", after: 0, lines: ["a"], digest: first });
    await store.append({
      run: "newer",
      after: 0,
      lines: ["a", "b", "c"],
      digest: { opened: opened + 1, latest: opened + 999_999 },
    });
    expect(await store.listRuns(10)).toEqual([
      { run: "newer", lines: 3, opened: opened + 1, latest: opened + 999_999, counted: false },
      {
        run: "older",
        lines: 1,
        counted: true,
        opened,
        latest: opened + 60_000,
        procedure: "radiator-fan-stays-off",
        revision: 1,
        hash: "a".repeat(64),
        ...told,
        end: "no-fault-found",
        seconds: 60,
      },
    ]);
    expect((await store.listRuns(1)).map((run) => run.run)).toEqual(["newer"]);
  });
}

function describeTallies(fact: Fact): void {
  fact("counts each branch by the time it took, over all runs of a procedure", async (store) => {
    await store.append({
      run: "r1",
      after: 0,
      lines: ["a"],
      digest: digest([
        ["hot", "yes"],
        ["feed", "dead"],
      ]),
    });
    await store.append({
      run: "r2",
      after: 0,
      lines: ["a"],
      digest: digest([
        ["hot", "yes"],
        ["feed", "good"],
      ]),
    });
    const other = digest([["hot", "yes"]], { procedure: "slow-crank" });
    await store.append({ run: "r3", after: 0, lines: ["a"], digest: other });
    expect(sorted(await store.tallyBranches("radiator-fan-stays-off"))).toEqual([
      { step: "feed", outcome: "dead", seconds: 60, count: 1 },
      { step: "feed", outcome: "good", seconds: 60, count: 1 },
      { step: "hot", outcome: "yes", seconds: 60, count: 2 },
    ]);
    expect(await store.tallyBranches("never")).toEqual([]);
  });

  fact("counts a growing run once, whatever the batches", async (store) => {
    const path = [
      ["hot", "yes"],
      ["feed", "good"],
      ["ground", "open"],
    ] as const;
    for (let rows = 0; rows < path.length; rows++) {
      await store.append({
        run: "r1",
        after: rows,
        lines: [`${rows}`],
        digest: digest(path.slice(0, rows + 1)),
      });
    }
    expect(sorted(await store.tallyBranches("radiator-fan-stays-off")).map((each) => each.count)).toEqual([
      1, 1, 1,
    ]);
  });

  fact("takes back what an amendment made untrue", async (store) => {
    const before = digest([
      ["hot", "yes"],
      ["feed", "dead"],
      ["fuse", "open"],
    ]);
    await store.append({ run: "r1", after: 0, lines: ["a"], digest: before });
    const amended = digest([
      ["hot", "yes"],
      ["feed", "good"],
    ]);
    await store.append({ run: "r1", after: 1, lines: ["b"], digest: amended });
    expect(sorted(await store.tallyBranches("radiator-fan-stays-off"))).toEqual([
      { step: "feed", outcome: "good", seconds: 60, count: 1 },
      { step: "hot", outcome: "yes", seconds: 60, count: 1 },
    ]);
  });

  fact("counts a branch without a time apart from one that took no time", async (store) => {
    const [row] = digest([["hot", "yes"]]).traversals;
    if (row === undefined) throw new Error("the digest has a row");
    const { seconds: _, ...timeless } = row;
    await store.append({ run: "r1", after: 0, lines: ["a"], digest: digest([], { traversals: [timeless] }) });
    const atOnce = { ...row, seconds: 0 };
    await store.append({ run: "r2", after: 0, lines: ["a"], digest: digest([], { traversals: [atOnce] }) });
    expect(sorted(await store.tallyBranches("radiator-fan-stays-off"))).toEqual([
      { step: "hot", outcome: "yes", count: 1 },
      { step: "hot", outcome: "yes", seconds: 0, count: 1 },
    ]);
  });

  fact("tells one revision from another, branches and runs", async (store) => {
    await store.append({ run: "r1", after: 0, lines: ["a"], digest: digest([["hot", "yes"]]) });
    const second = digest([["hot", "yes"]], { revision: 2, end: "stopped", seconds: 90 });
    await store.append({ run: "r2", after: 0, lines: ["a"], digest: second });
    await store.append({ run: "r3", after: 0, lines: ["a"], digest: second });
    const id = "radiator-fan-stays-off";
    expect(await store.tallyBranches(id, 2)).toEqual([
      { step: "hot", outcome: "yes", seconds: 60, count: 2 },
    ]);
    expect(await store.tallyBranches(id)).toEqual([{ step: "hot", outcome: "yes", seconds: 60, count: 3 }]);
    expect(await store.tallyRuns(id, 2)).toEqual([{ end: "stopped", seconds: 90, count: 2 }]);
    expect(sorted(await store.tallyRuns(id))).toEqual([
      { count: 1 },
      { end: "stopped", seconds: 90, count: 2 },
    ]);
  });

  fact("counts a run later whose record could not be walked when it came", async (store) => {
    const { traversals, ...unwalked } = digest([["hot", "yes"]]);
    await store.append({ run: "r2", after: 0, lines: ["a"], digest: { ...unwalked, opened: opened + 5 } });
    await store.append({ run: "r1", after: 0, lines: ["a"], digest: unwalked });
    await store.append({ run: "r0", after: 0, lines: ["a"], digest: digest([]) });
    expect(await store.listUncounted()).toEqual(["r1", "r2"]);
    expect(await store.tallyBranches("radiator-fan-stays-off")).toEqual([]);
    expect(await store.recount("r1", 2, { ...unwalked, traversals })).toBe(false);
    expect(await store.recount("never", 0, { ...unwalked, traversals })).toBe(false);
    expect(await store.recount("r1", 1, { ...unwalked, traversals })).toBe(true);
    expect(await store.listUncounted()).toEqual(["r2"]);
    expect(await store.tallyBranches("radiator-fan-stays-off")).toEqual([
      { step: "hot", outcome: "yes", seconds: 60, count: 1 },
    ]);
  });
}

function describeTexts(fact: Fact): void {
  const bundle: Bundle = {
    hash: "b".repeat(64),
    procedure: "slow-crank",
    text: "procedure: slow-crank\n",
    called: new Map([["constructor", "procedure: constructor\n"]]),
    equipment: new Map([["heron-35", "equipment: heron-35\n"]]),
  };

  fact("gives back the texts a procedure was made of", async (store) => {
    await store.keepBundle(bundle, 10);
    expect(await store.readBundle(bundle.hash, 10)).toEqual(bundle);
    expect(await store.readBundle("c".repeat(64), 10)).toBeUndefined();
  });

  fact("finds the sheets as they were when a run began", async (store) => {
    const changed = { ...bundle, equipment: new Map([["heron-35", "equipment: heron-35\ntitle: Heron\n"]]) };
    await store.keepBundle(bundle, 10);
    await store.keepBundle(bundle, 15);
    await store.keepBundle(changed, 20);
    expect(await store.readBundle(bundle.hash, 5)).toEqual(bundle);
    expect(await store.readBundle(bundle.hash, 19)).toEqual(bundle);
    expect(await store.readBundle(bundle.hash, 20)).toEqual(changed);
  });
}

function describeDrafts(fact: Fact): void {
  const procedure = "slow-crank";

  fact("has no draft of a procedure nobody wrote on", async (store) => {
    expect(await store.readDraft("never")).toBeUndefined();
    expect(await store.draftHistory("never")).toEqual([]);
  });

  fact("takes a text as the draft when it was written over the draft there is", async (store) => {
    const one = await store.keepDraft({ procedure, text: "one", at: 1 });
    expect(one.conflict).toBeUndefined();
    expect(one.kept).toMatchObject({ version: 1, text: "one", at: 1 });
    const two = await store.keepDraft({ procedure, text: "two", base: one.kept.hash, at: 2 });
    expect(two.conflict).toBeUndefined();
    expect(await store.readDraft(procedure)).toEqual(two.kept);
    expect((await store.draftHistory(procedure)).map((draft) => draft.text)).toEqual(["one", "two"]);
  });

  fact("keeps both texts when two write over the same draft, and says which stays", async (store) => {
    const one = await store.keepDraft({ procedure, text: "one", at: 1 });
    const two = await store.keepDraft({ procedure, text: "two", base: one.kept.hash, at: 2 });
    const clash = await store.keepDraft({ procedure, text: "mine", base: one.kept.hash, at: 3 });
    expect(clash.conflict).toEqual(two.kept);
    expect(clash.kept).toMatchObject({ version: 3, text: "mine" });
    expect(await store.readDraft(procedure)).toEqual(two.kept);
    expect((await store.draftHistory(procedure)).map((draft) => draft.text)).toEqual(["one", "two", "mine"]);
    const mended = await store.keepDraft({ procedure, text: "mine", base: two.kept.hash, at: 4 });
    expect(mended.conflict).toBeUndefined();
    expect(await store.readDraft(procedure)).toEqual(mended.kept);
  });

  fact(
    "thins out what is typed to a version a minute, and never what was put aside or is the draft",
    async (store) => {
      let base: string | undefined;
      for (let second = 0; second <= 150; second += 10) {
        const draft = {
          procedure,
          text: `${second}`,
          at: second * 1000,
          ...(base === undefined ? {} : { base }),
        };
        const { kept, conflict } = await store.keepDraft(draft);
        expect(conflict).toBeUndefined();
        base = kept.hash;
        if (second === 30) await store.keepDraft({ procedure, text: "aside", at: 30_000 });
      }
      const history = await store.draftHistory(procedure);
      expect(history.map((each) => each.text)).toEqual(["0", "aside", "60", "120", "150"]);
      const versions = history.map((each) => each.version);
      expect(versions).toEqual([...new Set(versions)].sort((a, b) => a - b));
      expect((await store.readDraft(procedure))?.text).toBe("150");
    },
  );

  fact("refuses to let a text without a base take the place of a draft", async (store) => {
    const one = await store.keepDraft({ procedure, text: "one", at: 1 });
    expect((await store.keepDraft({ procedure, text: "two", at: 2 })).conflict).toEqual(one.kept);
  });

  fact("makes no new version of the same text", async (store) => {
    const one = await store.keepDraft({ procedure, text: "one", at: 1 });
    expect(await store.keepDraft({ procedure, text: "one", base: "whatever", at: 2 })).toEqual({
      kept: one.kept,
    });
    expect(await store.draftHistory(procedure)).toHaveLength(1);
  });

  fact("has no draft any more once its text is in the file, but its history", async (store) => {
    const one = await store.keepDraft({ procedure, text: "one", at: 1 });
    await store.markSaved(procedure, "another text's hash");
    expect(await store.readDraft(procedure)).toEqual(one.kept);
    await store.markSaved(procedure, one.kept.hash);
    expect(await store.readDraft(procedure)).toBeUndefined();
    expect(await store.draftHistory(procedure)).toEqual([one.kept]);
    const next = await store.keepDraft({ procedure, text: "two", base: one.kept.hash, at: 2 });
    expect(next).toMatchObject({ kept: { version: 2 } });
    expect(next.conflict).toBeUndefined();
  });
}

/** Tallies come in no order. */
function sorted<T extends BranchTally | RunTally>(tallies: readonly T[]): readonly T[] {
  const name = (each: BranchTally | RunTally) =>
    "step" in each ? `${each.step} ${each.outcome} ${each.seconds ?? ""}` : `${each.end ?? ""}`;
  return [...tallies].sort((a, b) => (name(a) < name(b) ? -1 : 1));
}
