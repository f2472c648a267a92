// Opens both pages in a real browser, and does by mouse and keys what teacher and student would: drive.mjs PROGRAM OUT
// BELLHAND_TEST_ROUND names a single round.

import path from "node:path";
import { fileURLToPath } from "node:url";
import { lesson, students } from "./class.mjs";
import { chromium } from "./page.mjs";
import { desk } from "./desk.mjs";
import { looks } from "./looks.mjs";
import { print } from "./print.mjs";
import { Served } from "./served.mjs";
import { sound } from "./sound.mjs";
import { wall } from "./wall.mjs";

const [program, out] = process.argv.slice(2);
const browser = await chromium.launch({
  executablePath: process.env.BELLHAND_TEST_CHROMIUM,
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"],
});
let passed = 0;
let failed = 0;
/** What is open, to be looked at when something fails. */
let open;
const step = async (name, body) => {
  try {
    await body();
    passed += 1;
    console.log(`ok ${name}`);
  } catch (error) {
    failed += 1;
    console.log(`not ok ${name}: ${error.message}`);
    await open?.page.screenshot({ path: path.join(out, "failed.png") }).catch(() => undefined);
    throw error;
  }
};
for (const [name, round] of Object.entries({ wall, desk, looks })) {
  if ((process.env.BELLHAND_TEST_ROUND ?? name) !== name) continue;
  const served = new Served(program, students, lesson);
  try {
    await served.start();
    await round({ browser, served, step, out, opened: (one) => (open = one) });
  } catch (error) {
    if (failed === 0) {
      failed += 1;
      console.log(`not ok ${name}: ${error.stack}`);
    }
  } finally {
    await served.close();
  }
}
if ((process.env.BELLHAND_TEST_ROUND ?? "print") === "print") {
  const demo = fileURLToPath(new URL("../../../tests/demo/evening-ferry.abc", import.meta.url));
  // What failed is told already.
  await print({ browser, program, demo, step, out, opened: (one) => (open = one) }).catch(() => undefined);
}
if ((process.env.BELLHAND_TEST_ROUND ?? "sound") === "sound") {
  await sound({ browser, program, step, out, opened: (one) => (open = one) }).catch(() => undefined);
}
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
