/** Where the program's own folders are, and where the shop's data are kept when nobody says otherwise. */
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The checkout; the built program stands in `.build/node` inside it. */
const ROOT = fileURLToPath(new URL("../..", import.meta.url));

export const TREES = join(ROOT, "trees");
export const WEB = join(ROOT, ".build", "web");
export const DATA = join(ROOT, ".data");
