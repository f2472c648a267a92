// Kern and MusicXML by mouse: what is wrong under the pointer, and the picture beside them.

import { told } from "./pointing.mjs";

/** The frame whose heading has these words; beside it may stand others. */
async function frameWith(page, words) {
  for (const end = Date.now() + 120_000; Date.now() < end; await page.waitForTimeout(100)) {
    for (const frame of page.frames()) {
      if ((await frame.getByRole("heading", { name: words }).count().catch(() => 0)) > 0) return frame;
    }
  }
  throw new Error(`there is no frame with ${words}`);
}

/** The way to get started, which the editor shows to who asks for it. */
async function walkthrough({ page, step, screenshot, wait }) {
  await step("the walkthrough opens an example", async () => {
    await page.keyboard.press("F1");
    await page.keyboard.type("Welcome: Open Walkthrough");
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Open Walkthrough" }).first().click();
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Write for the horn" }).first().click();
    const button = page.locator(".getting-started-step.expanded .monaco-button", { hasText: "Open an Example" });
    await button.waitFor(wait);
    await page.waitForTimeout(800);
    await page.screenshot({ path: screenshot.replace("notations", "walkthrough") });
    await button.click();
    await page.locator(".view-line", { hasText: "Evening" }).first().waitFor(wait);
    await page.waitForFunction(() => document.querySelectorAll(".squiggly-warning").length >= 5, null, wait);
  });
}

export async function notations({ page, open, step, screenshot, wait }) {
  for (const name of ["krn", "musicxml"]) {
    await step(`evening-ferry.${name} is underlined, told of under the pointer, and drawn`, async () => {
      await open(`evening-ferry.${name}`);
      await page.waitForFunction(() => document.querySelectorAll(".squiggly-warning").length >= 1, null, wait);
      await page.locator(".view-line").first().click();
      await page.keyboard.press("Control+f");
      await page.keyboard.type("cup mute");
      await page.keyboard.press("Escape");
      const word = page.locator(".view-line .squiggly-warning, .view-line span > span", { hasText: "cup" }).first();
      await told(page, word, /one\s+kind\s+of\s+mute/);
      await page.locator('.editor-actions .action-label[aria-label*="as a Picture"]').first().click();
      await page.frameLocator("iframe.webview.ready").frameLocator("#active-frame").locator("#bellhand-picture .note").first().waitFor(wait);
      await page.waitForTimeout(400);
      await page.screenshot({ path: screenshot.replace(/\.png$/, `-${name}.png`) });
    });
  }
  await step("a packed score is drawn, says what is found in it, and opens its text", async () => {
    // From the list of files, as a user does it: a file named in the address is opened before the extension is known.
    await page.locator(".explorer-folders-view .monaco-list-row", { hasText: "packed.mxl" }).first().dblclick();
    const packed = await frameWith(page, "packed.mxl");
    await packed.locator("li", { hasText: "A cup mute is not" }).first().waitFor(wait);
    await packed.locator("svg .note").first().waitFor(wait);
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-packed.png") });
    await packed.getByRole("link", { name: "Unpack it" }).click();
    await page.locator(".tab", { hasText: "packed.musicxml" }).waitFor(wait);
  });
  await step("what is judged can be set in the settings' own page", async () => {
    await page.keyboard.press("F1");
    await page.keyboard.type("Preferences: Open Settings (UI)");
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Open Settings (UI)" }).first().click();
    await page.locator(".settings-editor .search-container .view-line").first().click();
    await page.keyboard.type("@ext:bellhand.bellhand");
    await page.locator(".settings-editor .setting-item", { hasText: "Who will play." }).first().waitFor(wait);
    // Where the page is narrow its list of groups is folded away.
    await page.locator(".settings-tree-container, .settings-toc-container", { hasText: "What is judged" }).first().waitFor({ ...wait, state: "attached" });
    await page.waitForTimeout(600);
    await page.screenshot({ path: screenshot.replace("notations", "settings") });
    // The level comes before all else, and a rule is a list to choose from.
    const first = await page.locator(".settings-editor .setting-item-label").first().innerText();
    if (!/Level/.test(first)) throw new Error(`the first setting is ${first}`);
    await page.keyboard.press("F1");
    await page.keyboard.type("bellhand: choose rules");
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Choose Rules and Their Severities" }).first().click();
    const rule = page.locator(".settings-editor .setting-item", { hasText: "Too little rest to raise the bells" }).first();
    await rule.waitFor(wait);
    await rule.locator("select, .monaco-select-box").first().waitFor(wait);
    await page.screenshot({ path: screenshot.replace("notations", "rules") });
  });
  await walkthrough({ page, step, screenshot, wait });
}
