/**
 * How long a plan takes. Targets: at 200 faults and 200 tests under 2 seconds, within 10 % of the bound; the shipped
 * procedures proven in about 5 seconds each at most.
 */
import { bench, describe } from "vitest";
import { bestPlan } from "../../engine/reasoning/plan/best-plan.ts";
import { procedurePlan } from "../../engine/reasoning/plan/plan-problem.ts";
import { codedProblem } from "../engine/reasoning/coded-problem.ts";
import { SHIPPED, shippedProcedure } from "../trees.ts";

const ONCE = { iterations: 1, warmupIterations: 0, time: 0, warmupTime: 0 };

describe("200 faults, 200 tests, a Huffman code hidden among them", () => {
  const problem = codedProblem(200, 7);
  bench("best order", () => void bestPlan(problem), ONCE);
});

describe.each(SHIPPED)("%s", (id) => {
  const { problem } = procedurePlan(shippedProcedure(id));
  bench("proven", () => void bestPlan(problem), ONCE);
});
