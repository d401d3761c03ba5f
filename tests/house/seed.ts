/**
 * The seed of every property that names none: the same each time, so that a red run means a change broke
 * something. `npm run soak` looks further, with new seeds; `PROBEWRIGHT_SEED` repeats what it found.
 */
import fc from "fast-check";

const FIXED = 20261126;

fc.configureGlobal({ seed: Number(process.env.PROBEWRIGHT_SEED ?? FIXED) });
