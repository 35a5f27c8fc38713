/** Two independent judges of access: axe-core and accessibility-checker-engine, both put into the page. */

import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const require = createRequire(import.meta.url);

/** What axe-core is asked: everything of WCAG up to 2.2 AA, what it holds good practice, and contrast of 7:1. */
const AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

interface AxeViolation {
  id: string;
  nodes: { target: unknown; failureSummary?: string }[];
}

interface AceIssue {
  ruleId: string;
  value: [string, string];
  message: string;
  path: { dom: string };
}

export async function violationsByAxe(page: Page): Promise<string[]> {
  await page.evaluate(await readFile(require.resolve("axe-core/axe.min.js"), "utf8"));
  const found = await page.evaluate(async (tags) => {
    const { axe } = window as unknown as { axe: { run(root: Document, how: unknown): Promise<{ violations: AxeViolation[] }> } };
    const rules = { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } };
    return (await axe.run(document, { runOnly: { type: "tag", values: tags }, rules })).violations;
  }, AXE_TAGS);
  return found.flatMap((one) => one.nodes.map((node) => `${one.id}: ${JSON.stringify(node.target)} ${node.failureSummary ?? ""}`));
}

export async function violationsByAce(page: Page): Promise<string[]> {
  await page.evaluate(await readFile(require.resolve("accessibility-checker-engine/ace.js"), "utf8"));
  const found = await page.evaluate(async () => {
    const { ace } = window as unknown as {
      ace: { Checker: new () => { check(root: Document, rules: string[]): Promise<{ results: AceIssue[] }> } };
    };
    return (await new ace.Checker().check(document, ["WCAG_2_2"])).results;
  });
  const failed = found.filter(({ value: [kind, came] }) => kind === "VIOLATION" && came === "FAIL");
  return failed.map((issue) => `${issue.ruleId}: ${issue.path.dom} ${issue.message}`);
}
