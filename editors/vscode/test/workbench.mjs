// Opens the real workbench in a real browser: workbench.mjs host|mouse BASE FOLDER SCREENSHOT [TESTS]
// FOLDER may also be a file of several folders, a .code-workspace.
// `host` runs host.ts inside the workbench, `mouse` does with mouse and keys what a user would, round by round; BELLHAND_TEST_ROUND names a
// single one.

import { mkdtempSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { findings } from "./mouse/findings.mjs";
import { firstPart } from "./mouse/first-part.mjs";
import { notations } from "./mouse/notations.mjs";
import { panel } from "./mouse/panel.mjs";

const require = createRequire(path.join(process.env.BELLHAND_TEST_MODULES, "x.js"));
const { chromium } = require("playwright-core");
const [mode, base, folder, screenshot, host, tests] = process.argv.slice(2);
const authority = new URL(base).host;
const remote = (file) => `vscode-remote://${authority}${file}`;

const context = await chromium.launchPersistentContext(mkdtempSync(path.join(tmpdir(), "bellhand-browser-")), {
  executablePath: process.env.BELLHAND_TEST_CHROMIUM,
  headless: true,
  viewport: { width: 1280, height: 760 },
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"],
});
const page = context.pages()[0] ?? (await context.newPage());
const kind = folder.endsWith(".code-workspace") ? "workspace" : "folder";
const open = (payload) => page.goto(`${base}/?${kind}=${folder}&payload=${encodeURIComponent(JSON.stringify(payload))}`);

async function inHost() {
  let done;
  const ended = new Promise((resolve) => (done = resolve));
  await page.exposeFunction("codeAutomationLog", (_, args) => console.log(...args));
  await page.exposeFunction("codeAutomationExit", (code) => done(code));
  await open([["extensionDevelopmentPath", remote(host)], ["extensionTestsPath", remote(tests)], ["enableProposedApi", ""]]);
  let timer;
  const late = new Promise((resolve) => (timer = setTimeout(() => resolve("late"), 900_000)));
  const code = await Promise.race([ended, late]);
  clearTimeout(timer);
  await page.screenshot({ path: screenshot }).catch(() => undefined);
  if (code !== 0) throw new Error(`the tests in the workbench ended with ${code}`);
}

// A machine that does other things too may take its time; what is waited for is looked at all along.
const wait = { timeout: 120_000 };
context.setDefaultTimeout(wait.timeout);

async function byMouse() {
  let passed = 0;
  const step = async (name, body) => {
    await body();
    passed += 1;
    console.log(`ok ${name}`);
  };
  const score = (name) => open([["openFile", remote(`${folder}/${name}`)]]);
  // The first walk is in a folder of its own, with nothing in it.
  const empty = () => page.goto(`${base}/?folder=${folder}-empty`);
  const rounds = { findings, panel, notations, firstPart };
  for (const [name, round] of Object.entries(rounds)) {
    if ((process.env.BELLHAND_TEST_ROUND ?? name) === name) {
      await round({ page, open: score, empty, folder, step, wait, screenshot: screenshot.replace("findings", name) });
    }
  }
  console.log(`${passed} passed, 0 failed`);
}

try {
  await (mode === "host" ? inHost() : byMouse());
} catch (error) {
  await page.screenshot({ path: screenshot.replace(/\.png$/, "-failed.png") }).catch(() => undefined);
  console.log(`not ok ${mode}: ${error.message}`);
  process.exitCode = 1;
} finally {
  await context.close();
}
