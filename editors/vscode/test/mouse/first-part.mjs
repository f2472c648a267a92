// The walk of editors/README.md from an empty folder to a first clean part, step by step, as somebody does who has nothing
// but the editor. Its first step, installing the extension, is how these tests begin.

import assert from "node:assert";
import { told } from "./pointing.mjs";

/** What is written in the last line, which the new part leaves empty. */
const MUSIC = 'z8 | z8 | "^cup mute" c4 d4 | z8 | "^senza sord." e8 |]';

export async function firstPart({ page, empty, step, screenshot, wait }) {
  const lines = () => page.evaluate(() => [...document.querySelectorAll(".editor-instance .view-line")].map((one) => one.innerText.replaceAll("\u00a0", " ")).join("\n"));
  const squiggles = () => page.locator(".squiggly-warning, .squiggly-error, .squiggly-info").count();
  await step("an empty folder is opened", async () => {
    await empty();
    await page.locator(".explorer-folders-view, .explorer-viewlet").first().waitFor(wait);
  });
  await step("a new file has an empty page", async () => {
    const folder = page.locator(".explorer-viewlet .pane-header").first();
    await folder.hover();
    await folder.locator('.action-label[aria-label^="New File"]').click();
    const name = page.locator(".explorer-viewlet .explorer-item-edited input");
    await name.waitFor(wait);
    await name.fill("pier.abc");
    await name.press("Enter");
    await page.locator(".tab", { hasText: "pier.abc" }).waitFor(wait);
    await page.locator(".editor-instance .view-lines").first().click();
  });
  await step("a new horn part is offered and written", async () => {
    const row = page.locator(".suggest-widget.visible .monaco-list-row", { hasText: /new horn part(?! ?s)/ }).first();
    // The server may still be starting: what it has not offered yet is asked for again.
    for (const end = Date.now() + wait.timeout; (await row.count()) === 0; await page.waitForTimeout(700)) {
      assert.ok(Date.now() < end, "no new horn part is offered");
      await page.keyboard.press("Escape");
      await page.keyboard.press("Control+Space");
      await row.waitFor({ timeout: 3000 }).catch(() => undefined);
    }
    await page.screenshot({ path: screenshot });
    await row.click();
    await page.waitForFunction(() => document.querySelectorAll(".editor-instance .view-line").length > 5, null, wait);
    assert.match(await lines(), /Horn in F/);
  });
  await step("what is wrong is underlined as it is written", async () => {
    await page.keyboard.press("Escape");
    await page.keyboard.press("Control+End");
    // As by a hand that closes what it opens itself.
    for (const sign of MUSIC) await page.keyboard.type(sign);
    await page.waitForFunction(() => document.querySelectorAll(".squiggly-warning").length >= 1, null, wait);
    await told(page, page.locator(".view-line span > span", { hasText: "cup" }).first(), /one\s+kind\s+of\s+mute/);
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-underlined.png") });
    await page.keyboard.press("Escape");
  });
  await step("the lamp fixes it", async () => {
    await page.locator(".view-line span > span", { hasText: "cup" }).first().click();
    await page.keyboard.press("Control+.");
    await page.locator(".action-widget .monaco-list-row", { hasText: "con sord." }).first().waitFor(wait);
    const chosen = page.locator(".action-widget .monaco-list-row.focused", { hasText: "con sord." });
    for (let row = 0; row < 10 && (await chosen.count()) === 0; row += 1) await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => ![...document.querySelectorAll(".view-line")].some((one) => one.innerText.includes("cup")), null, wait);
  });
  await step("saved, nothing is left under Problems: the first clean part", async () => {
    await page.keyboard.press("Control+s");
    await page.keyboard.press("Control+Shift+M");
    await page.locator(".markers-panel, .markers-panel-container").first().waitFor(wait);
    for (const end = Date.now() + wait.timeout; ; await page.waitForTimeout(200)) {
      const text = await page.locator(".markers-panel, .markers-panel-container").first().innerText();
      if (/No problems/.test(text) && (await squiggles()) === 0) break;
      assert.ok(Date.now() < end, `problems are left: ${text}\n${await lines()}`);
    }
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-clean.png") });
  });
}
