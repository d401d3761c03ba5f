/** What to write for a part of a procedure that holds entries by their names, or a list: English. */

/** By the key of the part. */
const ENTRIES: ReadonlyMap<string, string> = new Map([
  ["instruments", "instruments by name, as { meter: { title: … } }"],
  [
    "accuracy",
    "figures by what is measured, as { voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V } }",
  ],
  ["specifications", "specifications by name, as { feed: { from: 11 V, to: 15 V } }"],
  ["cautions", "cautions by name, as { hot: { signal: warning, hazard: …, avoid: … } }"],
  ["set-ups", "set-ups by name, as { plug-apart: { do: …, minutes: 2 } }"],
  // In an equipment sheet and an answers file, a fact is told, not asked.
  ["facts", "facts by name"],
  ["faults", "faults by name, as { fuse-open: { title: …, prior: 3 } }"],
  ["repairs", "repairs by name, as { fit-fuse: { minutes: 20, do: [{ say: … }] } }"],
  ["steps", "steps by name, as { look: { ask: …, answers: { … } } }"],
  ["answers", 'answers by name, as { "yes": { goto: step }, "no": { goto: step } }'],
  ["bands", "bands by name, as { low: { under: 5 V, goto: step }, good: { from: 5 V, goto: step } }"],
  ["outcomes", "outcomes by name, as { within: { goto: step } }"],
  ["returns", "returns by name, as { no-fault-found: { goto: step } }"],
  ["evidence", "rows by fault, as { fuse-open: { dead: 0.98 }, otherwise: { good: 0.97 } }"],
  ["give", "facts of the called procedure with what they are, as { connector: … }"],
]);

/** Undefined for a part that says nothing more than that it holds entries or a list; `text` is what was written. */
export function partWords(where: string, expected: string, text: string): string | undefined {
  const keys = where.split(".");
  const key = keys.at(-1) ?? "";
  if (expected === "array") return /^[a-z][a-z0-9-]*$/.test(text) ? `a list, as [${text}]` : listWords(key);
  if (expected !== "object") return undefined;
  return key === "set-ups" && keys.length > 1
    ? "set-ups of the called procedure with the names they have here, as { apart: plug-apart }"
    : ENTRIES.get(key);
}

function listWords(key: string): string | undefined {
  if (key === "do") return "a list of acts, as [{ say: … }]";
  return key === "parts" ? "a list of parts, as [{ part: … }]" : undefined;
}
