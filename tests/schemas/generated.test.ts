import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { generated } from "../../schemas/generate.ts";

const FOLDER = new URL("../../schemas/generated/", import.meta.url);

describe("what is generated from the schemas", () => {
  it("is what lies in the folder, file for file", async () => {
    const fresh = await generated();
    expect([...fresh.keys()].sort()).toEqual(readdirSync(FOLDER).sort());
    for (const [name, text] of fresh)
      expect(readFileSync(new URL(name, FOLDER), "utf8") === text, name).toBe(true);
  });

  it("builds no code from texts and asks for no module", () => {
    const code = readFileSync(new URL("validators.js", FOLDER), "utf8");
    expect(code.length).toBeGreaterThan(10_000);
    expect(code).not.toMatch(/\beval\b|\bFunction\b|\brequire\s*\(|\bimport\b/);
  });
});
