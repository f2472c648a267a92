// A page in the browser, with what every test asks of it: no errors, nothing against the policy, nothing axe finds.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";

const require = createRequire(path.join(process.env.BELLHAND_TEST_MODULES, "x.js"));
export const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

/** Opens a page of this width; `expected` tells which words in the console are no fault. */
export async function openPage(browser, width, scheme, expected = []) {
  const height = { 390: 844, 1280: 800, 1920: 1080 }[width];
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme, reducedMotion: "reduce" });
  context.setDefaultTimeout(120_000);
  const page = await context.newPage();
  const wrong = [];
  // What is typed over a selection Chromium itself styles for a moment, which the policy forbids it and nobody misses.
  await page.addInitScript(() => {
    document.addEventListener("securitypolicyviolation", ({ violatedDirective, target, blockedURI }) => {
      const own = violatedDirective === "style-src-attr" && target instanceof Element && target.closest(".cm-content") !== null;
      if (!own) console.error(`against the policy: ${violatedDirective} ${blockedURI} ${target?.outerHTML?.slice(0, 200) ?? ""}`);
    });
  });
  const typed = "Applying inline style violates";
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type()) && ![...expected, typed].some((words) => message.text().includes(words))) wrong.push(`${message.text()} (${message.location().url})`);
  });
  page.on("pageerror", (error) => wrong.push(error.stack));
  return { context, page, wrong };
}

/** Fails with what axe finds, with what is wider than the page, and with what the console says. */
export async function judge({ context, page, wrong }, what) {
  const devtools = await context.newCDPSession(page);
  // The page's policy forbids the judge too; it comes in by the devtools, in a world of its own.
  const { frameTree } = await devtools.send("Page.getFrameTree");
  const { executionContextId: contextId } = await devtools.send("Page.createIsolatedWorld", { frameId: frameTree.frame.id });
  await devtools.send("Runtime.evaluate", { expression: axe, contextId });
  const { result, exceptionDetails } = await devtools.send("Runtime.evaluate", {
    expression: "axe.run().then(({ violations }) => JSON.stringify(violations.map(({ id, nodes }) => [id, nodes.map(({ html, failureSummary }) => html.slice(0, 160) + ' ' + failureSummary)])))",
    contextId, awaitPromise: true, returnByValue: true,
  });
  await devtools.detach();
  if (exceptionDetails) throw new Error(`${what}: ${exceptionDetails.exception?.description}`);
  const found = JSON.parse(result.value);
  if (found.length > 0) throw new Error(`${what}: axe finds ${JSON.stringify(found, null, 1)}`);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  equal(over, 0, `${what}: pixels that the page is wider than its window`);
  if (wrong.length > 0) throw new Error(`${what}: the console says ${wrong.join("; ")}`);
}

/** Fails unless two values are the same. */
export function equal(is, wanted, what) {
  if (JSON.stringify(is) !== JSON.stringify(wanted)) throw new Error(`${what}: ${JSON.stringify(is)}, not ${JSON.stringify(wanted)}`);
}

/** Fails unless this is so. */
export function holds(is, what) {
  if (!is) throw new Error(what);
}

/** Waits until something is so. */
export async function until(is, what) {
  for (let tries = 0; tries < 2400; tries += 1) {
    if (await is()) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`${what}: waited for in vain`);
}

/** Presses Tab until an element of this selector has the focus, as one does who has no mouse. */
export async function tabTo(page, selector, key = "Tab") {
  for (let tries = 0; tries < 200; tries += 1) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) === true, selector)) return;
    await page.keyboard.press(key);
  }
  throw new Error(`Tab never leads to ${selector}`);
}
