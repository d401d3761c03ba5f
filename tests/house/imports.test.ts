import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, describe, expect, it } from "vitest";
import { cruiseImports, notBelieved } from "./cruise-imports.ts";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const folders: string[] = [];

function houseOf(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), "house-"));
  folders.push(folder);
  for (const [name, text] of Object.entries({ "tsconfig.json": "{}", ...files })) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  return folder;
}

afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
});

describe("the import rules", () => {
  it("hold in this house", async () => {
    const cruised = await cruiseImports(ROOT);
    expect(notBelieved(cruised)).toBeUndefined();
    expect(cruised.modules).toBeGreaterThan(100);
    expect(cruised.broken).toEqual([]);
  }, 60_000);

  it("are broken by an engine that takes something of the runner", async () => {
    const folder = houseOf({
      "engine/a.ts": 'import { b } from "../runner/b.ts";\nexport const a = b;\n',
      "runner/b.ts": "export const b = 1;\n",
    });
    const { broken } = await cruiseImports(folder, ["engine", "runner"]);
    expect(broken).toContain("engine-is-pure: engine/a.ts → runner/b.ts");
  });

  it("are broken by an engine that takes a Node module, even for a type", async () => {
    const folder = houseOf({
      "engine/a.ts": 'import type { Stats } from "node:fs";\nexport type A = Stats;\n',
    });
    const { broken } = await cruiseImports(folder, ["engine"]);
    expect(broken.some((line) => line.startsWith("engine-is-pure: engine/a.ts"))).toBe(true);
  });

  it("are broken by an author's page that takes the inside of the runner, and not by one that takes the kit", async () => {
    const folder = houseOf({
      "author/a.ts":
        'import { s } from "../runner/session/s.ts";\nimport { k } from "../runner/kit/k.ts";\nexport const a = s + k;\n',
      "runner/session/s.ts": "export const s = 1;\n",
      "runner/kit/k.ts": "export const k = 1;\n",
    });
    const { broken } = await cruiseImports(folder, ["author", "runner"]);
    expect(broken).toEqual(["author-takes-only-the-kit: author/a.ts → runner/session/s.ts"]);
  });

  it("are not believed when no module was read", async () => {
    const folder = houseOf({ "engine/readme.txt": "nothing here" });
    expect(notBelieved(await cruiseImports(folder, ["engine"]))).toMatch(/No module was read/);
  });
});
