import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { type KeptState, makeKeeper } from "../../author/edits/draft-keeper.ts";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function set(up: { readonly serverAnswers?: boolean; readonly browserRefuses?: boolean } = {}) {
  const stored: string[] = [];
  const sent: string[] = [];
  const states: KeptState[] = [];
  const server = { answers: up.serverAnswers ?? true };
  const keeper = makeKeeper<string>({
    store: async (text) => {
      if (up.browserRefuses) throw new Error("quota");
      stored.push(text);
    },
    send: async (text) => {
      if (server.answers) sent.push(text);
      return server.answers;
    },
    now: Date.now,
    changed: (state) => states.push(state),
  });
  return { keeper, stored, sent, states, server };
}

describe("makeKeeper", () => {
  it("keeps a change in the browser within 300 ms, however fast others follow", async () => {
    const { keeper, stored } = set();
    for (let at = 0; at < 30; at += 1) {
      keeper.keep(`text ${at}`);
      await vi.advanceTimersByTimeAsync(20);
      if (at >= 15) expect(Number(stored.at(-1)?.slice(5))).toBeGreaterThan(at - 15);
    }
  });

  it("keeps the last text in both places, whatever the rhythm of typing", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.nat(1_500), { minLength: 1, maxLength: 20 }), async (pauses) => {
        const { keeper, stored, sent, states } = set();
        for (const [index, pause] of pauses.entries()) {
          keeper.keep(`text ${index}`);
          await vi.advanceTimersByTimeAsync(pause);
        }
        await vi.advanceTimersByTimeAsync(2_000);
        const last = `text ${pauses.length - 1}`;
        expect(stored.at(-1)).toBe(last);
        expect(sent.at(-1)).toBe(last);
        expect(states.at(-1)).toMatchObject({ here: "yes", server: "yes" });
      }),
      { numRuns: 50 },
    );
  });

  it("goes on in the browser while the server is away, and sends once it is back", async () => {
    const { keeper, stored, sent, states, server } = set({ serverAnswers: false });
    keeper.keep("typed offline");
    await vi.advanceTimersByTimeAsync(1_500);
    expect(stored).toEqual(["typed offline"]);
    expect(states.at(-1)).toMatchObject({ here: "yes", server: "no" });
    server.answers = true;
    keeper.flush();
    await keeper.settle();
    expect(sent).toEqual(["typed offline"]);
    expect(states.at(-1)).toMatchObject({ server: "yes" });
  });

  it("tries the server again by itself", async () => {
    const { keeper, sent, server } = set({ serverAnswers: false });
    keeper.keep("typed");
    await vi.advanceTimersByTimeAsync(1_500);
    server.answers = true;
    await vi.advanceTimersByTimeAsync(12_000);
    expect(sent).toEqual(["typed"]);
  });

  it("says that the browser refuses, and sends to the server all the same", async () => {
    const { keeper, sent, states } = set({ browserRefuses: true });
    keeper.keep("typed");
    await vi.advanceTimersByTimeAsync(2_000);
    expect(sent).toEqual(["typed"]);
    expect(states.at(-1)).toMatchObject({ here: "no", server: "yes" });
  });

  it("writes at once when the page is being left", async () => {
    const { keeper, stored } = set();
    keeper.keep("typed");
    keeper.flush();
    await vi.advanceTimersByTimeAsync(0);
    expect(stored).toEqual(["typed"]);
  });

  it("forgets what waits once it is saved", async () => {
    const { keeper, stored, sent } = set();
    keeper.keep("typed");
    keeper.forget();
    await vi.advanceTimersByTimeAsync(5_000);
    expect(stored).toEqual([]);
    expect(sent).toEqual([]);
  });
});
