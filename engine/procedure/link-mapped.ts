/** Set-ups of called procedures that a call says are the caller's own. */
import type { Linking, Part } from "./linking.ts";
import type { SetUp } from "./model.ts";

/**
 * The set-ups, each with the hazards and cautions of those that are the same thing under another name in a called
 * procedure: whoever wrote that one knew what it does to people, and its steps rely on its being said. Where the
 * caller has nothing to put back, what the called one says of putting back is left out.
 */
export function withMapped(
  linking: Linking,
  parts: readonly Part[],
  setUps: ReadonlyMap<string, SetUp>,
): Map<string, SetUp> {
  const joined = new Map(setUps);
  for (const part of parts)
    for (const [theirs, ours] of part.call?.setUps ?? []) {
      const raw = part.raw["set-ups"]?.[theirs];
      const setUp = joined.get(ours);
      if (raw === undefined || setUp === undefined) continue;
      const path = ["set-ups", theirs];
      const back = typeof raw["put-back"] === "object" ? raw["put-back"] : undefined;
      const named = (names: readonly string[] | undefined, at: readonly string[]) =>
        linking.resolveAll(part, "caution", names, [...at, "cautions"]);
      joined.set(ours, {
        ...setUp,
        hazards: both(setUp.hazards, raw.hazards ?? []),
        cautions: both(setUp.cautions, named(raw.cautions, path)),
        ...(setUp.putBack === undefined || back === undefined
          ? {}
          : {
              putBack: {
                ...setUp.putBack,
                hazards: both(setUp.putBack.hazards ?? [], back.hazards ?? []),
                cautions: both(setUp.putBack.cautions, named(back.cautions, [...path, "put-back"])),
              },
            }),
      });
    }
  return joined;
}

function both<T>(ours: readonly T[], theirs: readonly T[]): readonly T[] {
  return [...new Set([...ours, ...theirs])];
}
