// What a user does with findings, by mouse and keys.

import { told } from "./pointing.mjs";

export async function findings({ page, open, step, screenshot, wait }) {
  await open("evening-ferry.abc");
  await step("findings are underlined", async () => {
    await page.waitForSelector(".editor-instance .view-lines .view-line", wait);
    await page.waitForFunction(() => document.querySelectorAll(".squiggly-warning").length >= 5, null, wait);
  });
  const line = page.locator(".view-lines .view-line", { hasText: "cup" }).first();
  const word = line.locator("span > span", { hasText: "cup" }).first();
  await step("the pointer over the words brings up what is wrong with them", async () => {
    await told(page, word, /one\s+kind\s+of\s+mute/);
    await page.waitForTimeout(400);
    await page.screenshot({ path: screenshot });
  });
  await step("the status item tells the program's state", async () => {
    await page.keyboard.press("Escape");
    await page.waitForFunction(() => /bellhand \d+\.\d+/.test(document.querySelector("#status\\.languageStatus")?.getAttribute("aria-label") ?? ""), null, wait).catch(async () => {
      // The item's words are in its hover.
      await page.locator("#status\\.languageStatus").hover();
      await page.waitForFunction(() => /bellhand\s\d+\.\d+/.test(document.body.innerText), null, wait);
    });
  });
  await step("the settings are understood", async () => {
    const complaint = page.locator(".notification-toast", { hasText: "is not known here" });
    if ((await complaint.count()) > 0) throw new Error(await complaint.first().innerText());
  });
  await step("the status bar counts parts and findings where they are seen", async () => {
    const item = page.locator(".statusbar-item", { hasText: /3\shorn\sparts,\s\d+\sfindings/ });
    await item.first().waitFor(wait);
    await item.first().click();
    const list = page.locator(".markers-panel .monaco-list-row").first();
    await list.waitFor(wait);
    // The list takes the room of the lines that are wanted next.
    await page.keyboard.press("Control+j");
    await list.waitFor({ ...wait, state: "hidden" });
  });
  await step("the language status counts parts and findings", async () => {
    await page.locator("#status\\.languageStatus").hover();
    await page.waitForFunction(() => /3\shorn\sparts,\s\d+\sfindings/.test(document.body.innerText), null, wait);
  });
  await step("the lamp fixes it", async () => {
    await word.click();
    await page.keyboard.press("Control+.");
    const item = page.locator(".action-widget .monaco-list-row", { hasText: "con sord." }).first();
    await item.waitFor(wait);
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-fixes.png") });
    // A shield over the list takes clicks while it opens; keys go through.
    const chosen = page.locator(".action-widget .monaco-list-row.focused", { hasText: "con sord." });
    for (let row = 0; row < 10 && (await chosen.count()) === 0; row += 1) await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => ![...document.querySelectorAll(".view-line")].some((one) => one.innerText.includes("cup")), null, wait);
  });
  await step("a part is written for the horn chosen from the list", async () => {
    await page.locator(".view-lines .view-line", { hasText: /F2\sE2/ }).first().click();
    await page.keyboard.press("F1");
    await page.keyboard.type("bellhand: write this part");
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Write This Part for Another Horn" }).first().click();
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "at concert pitch" }).first().waitFor(wait);
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-rewrite.png") });
    await page.locator(".quick-input-list .monaco-list-row", { hasText: /^horn in F$/ }).first().click();
    await page.waitForFunction(() => [...document.querySelectorAll(".view-line")].some((one) => /Horn.3.in.F"/.test(one.innerText)), null, wait);
    await page.locator(".view-lines .view-line", { hasText: "V:3" }).first().click();
    await page.keyboard.press("Control+z");
  });
  await step("the palette has the commands", async () => {
    await page.keyboard.press("F1");
    await page.keyboard.type("bellhand: ");
    const row = page.locator(".quick-input-list .monaco-list-row", { hasText: "Show the Parts as Their Players Read Them" }).first();
    await row.waitFor(wait);
    await row.click();
    await page.waitForFunction(() => /written\s+sounding/.test([...document.querySelectorAll(".view-lines")].map((one) => one.innerText).join("\n").replaceAll("\u00a0", " ")), null, wait);
    await page.waitForTimeout(400);
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-notes.png") });
  });
  await step("a rule's page is shown beside the score", async () => {
    // The first cup is fixed; the key signature's line still has its finding.
    await page.locator(".view-lines .view-line", { hasText: "K:Bb" }).first().click();
    await page.keyboard.press("F1");
    await page.keyboard.type("bellhand: explain");
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Explain a Rule" }).first().click();
    await page.waitForFunction(() => [...document.querySelectorAll(".tab")].some((tab) => /key-signature/.test(tab.innerText)), null, wait);
    await page.waitForTimeout(1500);
    await page.screenshot({ path: screenshot.replace(/\.png$/, "-rule.png") });
  });
}
