/** What went wrong in an expression that can't be read, as far as it is one of the usual slips. */

/** Parameters of a `bad-expression`: the `slip`, and for types that do not go together the two and what joins them. */
export type Slip = Readonly<Record<string, string>>;

/** The slip behind an error of the library; none where it is not known: then the library's own words are shown. */
export function slipOf(text: string, thrown: unknown): Slip {
  const plain = text.replace(QUOTED, "''");
  switch (codeOf(thrown)) {
    case "limit_exceeded":
      return { slip: "too-long" };
    case "unterminated_string":
      return { slip: "cut-short" };
    case "no_such_overload":
      return typesIn(thrown);
    case "unexpected_character":
    case "unexpected_token":
    case "expected_token":
      if (/[“”„‟‘’‚‛«»]/.test(plain)) return { slip: "print-quotes" };
      if (/(?:^|[^=!<>])=(?!=)/.test(plain)) return { slip: "one-equals" };
      if (/(?:^|[\s)])(?:and|or|not)(?=[\s(])/i.test(plain)) return { slip: "words" };
      return summaryOf(thrown).endsWith("EOF") ? { slip: "cut-short" } : {};
    default:
      return {};
  }
}

/** The library's first line, without its drawing of the place. */
export function summaryOf(thrown: unknown): string {
  if (!(thrown instanceof Error)) return "";
  return (thrown.message.split("\n", 1)[0] ?? "").trim();
}

/** A text in quotes: what stands in it is no slip. */
const QUOTED = /"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*'/g;

const TYPES = /: (\S+) (\S+) (\S+)$/;

function typesIn(thrown: unknown): Slip {
  const [, one, operator, other] = TYPES.exec(summaryOf(thrown)) ?? [];
  return one === undefined || operator === undefined || other === undefined
    ? {}
    : { slip: "apart", one, operator, other };
}

function codeOf(thrown: unknown): unknown {
  return thrown instanceof Error && "code" in thrown ? thrown.code : undefined;
}
