/** Who imports whom, held against the rules of `.dependency-cruiser.json`. */
import { readFileSync } from "node:fs";
import { cruise, type ICruiseOptions, type ICruiseResult } from "dependency-cruiser";

const ROOMS = ["engine", "runner", "author", "schemas", "tests"];

export interface Cruised {
  /** Modules of our own that were read. */
  readonly modules: number;
  readonly imports: number;
  /** `rule: from → to`. */
  readonly broken: readonly string[];
}

/** What the imports of these rooms break; `folder` is where they are. */
export async function cruiseImports(folder: string, rooms: readonly string[] = ROOMS): Promise<Cruised> {
  const rules = JSON.parse(readFileSync(new URL("../../.dependency-cruiser.json", import.meta.url), "utf8"));
  const options: ICruiseOptions = {
    ...rules.options,
    baseDir: folder,
    validate: true,
    ruleSet: { forbidden: rules.forbidden },
  };
  const { output } = await cruise([...rooms], options, {
    ...rules.options.enhancedResolveOptions,
  });
  const result = output as ICruiseResult;
  const own = result.modules.filter((module) =>
    /^(engine|runner|author|schemas|tests)\//.test(module.source),
  );
  return {
    modules: own.length,
    imports: own.reduce((sum, module) => sum + module.dependencies.length, 0),
    broken: result.summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} → ${to}`),
  };
}

/** A run of the tool that saw nothing proves nothing: this says why it may not be believed, if so. */
export function notBelieved({ modules, imports }: Cruised): string | undefined {
  if (modules === 0) return "No module was read: the import rules were not tried.";
  if (imports === 0) return "No import was read: the tool could not parse the modules.";
  return undefined;
}
