/**
 * What the JSON schema of SARIF 2.1.0 (OASIS; `sarif-schema-2.1.0.json` of the technical committee's repository
 * `oasis-tcs/sarif-spec`, draft-07) says of the objects that a log of findings is made of; read there, written
 * down again in short, and narrower: a property is left out where no log of ours has it. The schema's objects
 * are closed, property bags apart, so what this accepts the published schema accepts as well.
 */

type Schema = Readonly<Record<string, unknown>>;

const text: Schema = { type: "string" };
const uri: Schema = { type: "string", format: "uri" };
/** Lines and columns: `region`. */
const fromOne: Schema = { type: "integer", minimum: 1 };

function object(properties: Readonly<Record<string, Schema>>, required: readonly string[] = []): Schema {
  return { type: "object", additionalProperties: false, properties, required };
}

function list(items: Schema, uniqueItems = false): Schema {
  return { type: "array", items, uniqueItems };
}

const propertyBag: Schema = {
  type: "object",
  additionalProperties: true,
  properties: { tags: list(text, true) },
};

/** `message`: text, or the id of one. */
const message = object({ text }, ["text"]);
const multiformatMessageString = object({ text }, ["text"]);

const region = object({ startLine: fromOne, startColumn: fromOne, endLine: fromOne, endColumn: fromOne }, [
  "startLine",
]);
const artifactLocation = object({ uri: { type: "string", format: "uri-reference" } });
const physicalLocation = object({ artifactLocation, region }, ["artifactLocation"]);
const location = object({ physicalLocation });

const result = object(
  {
    ruleId: text,
    ruleIndex: { type: "integer", minimum: -1 },
    level: { type: "string", enum: ["none", "note", "warning", "error"] },
    message,
    locations: list(location),
    properties: propertyBag,
  },
  ["message"],
);

const reportingDescriptor = object(
  {
    id: text,
    shortDescription: multiformatMessageString,
    fullDescription: multiformatMessageString,
    help: multiformatMessageString,
  },
  ["id"],
);
const toolComponent = object({ name: text, version: text, rules: list(reportingDescriptor, true) }, ["name"]);

const run = object(
  {
    tool: object({ driver: toolComponent }, ["driver"]),
    columnKind: { type: "string", enum: ["utf16CodeUnits", "unicodeCodePoints"] },
    results: list(result),
  },
  ["tool"],
);

export const SARIF_LOG: Schema = {
  $schema: "http://json-schema.org/draft-07/schema#",
  ...object({ $schema: uri, version: { enum: ["2.1.0"] }, runs: list(run) }, ["version", "runs"]),
};
