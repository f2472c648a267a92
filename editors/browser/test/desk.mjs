// The desk, as students use it.

import { existsSync } from "node:fs";
import path from "node:path";
import { equal, holds, openPage, tabTo, until } from "./page.mjs";

const SCORE = `X:1
T:Otters at Dusk
M:4/4
L:1/4
Q:1/4=96
K:D
V:1 name="Horn in F" transpose=-7
!mf! d2 cf | "^stopped" A,2 D2 | "^open" g4 |]
`;
const text = (page) => page.evaluate(() => [...document.querySelectorAll(".cm-line")].map((line) => line.textContent).join("\n"));
const saved = (page) => page.locator("#saved[data-kind=saved]").waitFor();

/** Writes over all of the text. */
async function write(page, words) {
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Control+A");
  await page.keyboard.insertText(words);
}

/** Comes in by the form that is shown. */
async function enter(page, served, name) {
  await page.fill("#code", served.code);
  if (name !== undefined) await page.fill("#who", name);
  await page.keyboard.press("Enter");
}

/** Begins a piece. */
async function begin(page, title, notation = "abc") {
  await page.fill("#title", title);
  await page.selectOption("#notation", notation);
  await page.click("#notation ~ button");
  await page.waitForSelector(".cm-content");
  await page.waitForSelector(".picture svg");
}

export async function desk({ browser, served, step, opened }) {
  const expected = ["401 (Unauthorized)", "412 (Precondition Failed)", "ERR_FAILED", "ERR_CONNECTION_REFUSED", "WebSocket connection"];
  const view = await openPage(browser, 1280, "light", expected);
  opened(view);
  const { page, context } = view;
  const file = (name) => served.read("Ilse Ferry", name);

  await step("desk: a wrong code is told, the right one lets in", async () => {
    await page.goto(`${served.desk}#code=AB12CD`);
    await page.waitForSelector("#who");
    equal(await page.inputValue("#code"), "AB12CD", "the code that the address brings");
    equal(await page.evaluate(() => document.activeElement?.id), "who", "the focus");
    await page.fill("#code", "WRONG1");
    await page.fill("#who", "Ilse Ferry");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#wrong:not([hidden])");
    equal(await page.evaluate(() => document.activeElement?.id), "code", "the focus");
    await enter(page, served);
    await page.waitForSelector("text=The desk of Ilse Ferry");
  });

  await step("desk: what is typed is judged, and saved at the pause", async () => {
    await begin(page, "Otters at Dusk");
    await saved(page);
    await write(page, SCORE);
    await page.waitForSelector("#saved[data-kind=waiting]");
    await page.waitForSelector(".findings li:has-text('notation/key-signature')");
    await page.waitForSelector(".cm-lintRange-warning");
    await page.waitForSelector(".cm-lint-marker-warning");
    await saved(page);
    const [name] = ["Otters at Dusk.abc", "otters-at-dusk.abc", "Otters-at-Dusk.abc"].filter((one) => existsSync(path.join(served.folder, "Ilse Ferry", one)));
    equal(file(name), SCORE, "the file");
  });

  await step("desk: a safe fix is told apart, is made, and is taken back", async () => {
    const finding = page.locator(".findings > li", { hasText: "notation/key-signature" });
    await finding.locator("summary").click();
    const safe = finding.locator("button.safe").first();
    await safe.waitFor();
    holds((await finding.textContent()).includes("safe: sounds the same"), "told as safe");
    await safe.click();
    await until(async () => (await text(page)).includes("K:none"), "the fix");
    await finding.waitFor({ state: "detached" });
    // Of several edits in one line none has moved another on the way to the server.
    equal(await page.locator(".what .quiet").allTextContents(), ["stopped/too-low"], "what the server finds then");
    await page.waitForSelector("#notice:has-text('Done')");
    await page.keyboard.press("Control+Z");
    equal(await text(page), SCORE, "the text after undoing");
    await finding.waitFor();
  });

  await step("desk: a fix that changes the music says so", async () => {
    const finding = page.locator(".findings > li", { hasText: "stopped/too-low" }).first();
    await finding.locator("summary").click();
    const review = finding.locator("button.review").first();
    await review.waitFor();
    holds((await finding.textContent()).includes("changes the music"), "told as one for review");
    equal(await finding.locator("button.safe").count(), 0, "safe ones");
    await finding.locator("summary").click();
  });

  await step("desk: keys alone lead to a finding, and to what can be done about it", async () => {
    await page.locator(".cm-content").focus();
    await page.keyboard.press("Control+Home");
    await page.keyboard.press("F8");
    await page.keyboard.press("Control+.");
    await until(() => page.evaluate(() => document.activeElement?.matches(".findings summary")), "the finding");
    await page.waitForSelector(".findings details[open] button.safe");
    await page.keyboard.press("Tab");
    equal(await page.evaluate(() => document.activeElement?.className), "safe", "the first fix");
    await tabTo(page, ".what button", "Shift+Tab");
    await page.keyboard.press("Enter");
    equal(await page.evaluate(() => document.activeElement?.className.includes("cm-content")), true, "back in the text");
  });

  await step("desk: the picture follows the cursor, and leads into the text", async () => {
    await page.keyboard.press("Control+End");
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("Home");
    for (let times = 0; times < 5; times += 1) await page.keyboard.press("ArrowRight");
    const current = () => page.evaluate(() => document.querySelector(".picture").shadowRoot.querySelector(".note.current")?.getAttribute("aria-label"));
    await until(async () => (await current())?.startsWith("D5"), "the note at the cursor");
    await page.keyboard.press("ArrowRight");
    await page.keyboard.insertText("'");
    await until(async () => (await current())?.startsWith("D6"), "the note in a new picture");
    await page.keyboard.press("Backspace");
    await page.keyboard.press("ArrowLeft");
    await until(async () => (await current())?.startsWith("D5"), "the note as it was");
    await until(async () => (await page.locator(".picture + details").textContent()).includes("D5 written for horn in F"), "what it means");
    await page.locator(".picture .note").last().dblclick();
    await until(() => page.evaluate(() => getSelection().toString() === "g4" || document.activeElement.className.includes("cm-content")), "the note in the text");
    await page.click("text=Sounding pitch");
    await page.waitForSelector(".picture svg[aria-label*=sound]");
    await page.click("text=Sounding pitch");
  });

  await step("desk: the part is heard from the note at the cursor on, and stops when the text is another", async () => {
    const play = page.locator(".sound .play");
    const lit = page.locator(".picture .note.sounding");
    await page.waitForSelector(".picture svg[aria-label*=written]");
    const heard = async () => {
      await page.locator(".picture .note").nth(3).click();
      await until(async () => (await page.locator(".picture .note.current").getAttribute("aria-label"))?.includes("bar 2"), "the note at the cursor");
      await play.click();
      await lit.first().waitFor();
      holds((await lit.first().getAttribute("aria-label")).includes("bar 2"), "it begins at the cursor");
      equal([await play.textContent(), await page.locator(".said").textContent()], ["■ Stop", "From bar 2"], "what is said");
    };
    await heard();
    await play.click();
    equal([await play.textContent(), await lit.count()], ["▶ Play", 0], "after Stop");
    await heard();
    await page.locator(".cm-content").focus();
    await page.keyboard.press("Control+End");
    await page.keyboard.insertText("%");
    await until(async () => (await play.textContent()) === "▶ Play", "silence");
    equal(await lit.count(), 0, "notes still lit");
    await page.keyboard.press("Backspace");
    await saved(page);
  });

  await step("desk: hovering tells what a finding is", async () => {
    await page.locator(".cm-lintRange").first().hover();
    await page.waitForSelector(".cm-tooltip .cm-diagnostic");
    await page.mouse.move(0, 0);
  });

  await step("desk: another window's text is shown beside, and the student chooses", async () => {
    const other = await context.newPage();
    await other.goto(page.url());
    await other.waitForSelector(".findings li");
    await write(other, SCORE.replace("Dusk", "Dawn"));
    await saved(other);
    await write(page, SCORE.replace("Dusk", "Noon"));
    await page.waitForSelector("#dialog[open] .differs");
    equal(await page.locator("#dialog pre").count(), 2, "texts");
    await page.click("text=Take the other one");
    await until(async () => (await text(page)).includes("Dawn"), "the other's text");
    await page.keyboard.press("Control+Z");
    await until(async () => (await text(page)).includes("Noon"), "undone");
    await saved(page);
    await write(other, SCORE.replace("Dusk", "Night"));
    await other.click("text=Keep what stands here");
    await saved(other);
    await other.close();
    await write(page, SCORE);
    await page.click("text=Keep what stands here");
    await saved(page);
  });

  await step("desk: what could not be saved is there after a reload, and is saved then", async () => {
    // Not even what a page sends as it goes away arrives.
    await page.evaluate(() => (window.fetch = () => Promise.reject(new TypeError("nobody answers"))));
    await write(page, SCORE.replace("Dusk", "Low Water"));
    await page.waitForSelector("#saved[data-kind=stuck]");
    holds((await page.locator("#notice").textContent()).includes("kept in this browser"), "the words");
    await page.reload();
    await until(async () => (await text(page)).includes("Low Water"), "the text");
    await saved(page);
  });

  await step("desk: what another window never saved is offered", async () => {
    await context.route("**/desk/piece/*", (route) => (route.request().method() === "PUT" ? route.abort() : route.continue()));
    await write(page, SCORE.replace("Dusk", "High Water"));
    await page.waitForSelector("#saved[data-kind=stuck]");
    // A window that was closed for good leaves this behind.
    await page.evaluate(() => {
      const key = Object.keys(localStorage).find((one) => one.startsWith("bellhand:draft:"));
      localStorage.setItem(key.replace(/[^:]+$/, "another"), localStorage.getItem(key));
    });
    await context.unroute("**/desk/piece/*");
    await write(page, SCORE);
    await saved(page);
    await page.reload();
    await page.waitForSelector("#dialog[open] .differs");
    await page.click("text=Keep what was typed");
    await until(async () => (await text(page)).includes("High Water"), "the text");
    await saved(page);
    equal(await page.evaluate(() => Object.keys(localStorage).filter((one) => one.startsWith("bellhand:draft:"))), [], "texts kept in the browser");
  });

  await step("desk: when the class begins anew, the student enters again and nothing is lost", async () => {
    await served.stop();
    await page.waitForSelector("#notice:has-text('connection is lost')");
    await write(page, SCORE.replace("Dusk", "Slack Water"));
    await page.waitForSelector("#saved[data-kind=stuck]");
    await served.start();
    await page.waitForSelector("#dialog[open] #code", { timeout: 120_000 });
    await enter(page, served);
    await page.waitForSelector("#dialog", { state: "hidden" });
    await saved(page);
    await page.waitForSelector(".findings li");
    await until(async () => !(await page.locator("#notice").textContent()).includes("lost"), "heard again");
    holds((await text(page)).includes("Slack Water"), "the text");
  });

  await step("desk: Humdrum and MusicXML too; Tab writes a tab in Humdrum, and Escape leads out", async () => {
    await page.click("#back");
    await begin(page, "Moorhen", "kern");
    await saved(page);
    await page.locator(".cm-content").focus();
    await page.keyboard.press("Control+Home");
    await page.keyboard.press("Tab");
    await until(async () => (await text(page)).startsWith("\t"), "a tab");
    await page.keyboard.press("Control+Z");
    await page.keyboard.press("Escape");
    await page.keyboard.press("Tab");
    equal(await page.evaluate(() => document.activeElement?.className.includes("cm-content")), false, "out of the text");
    await page.click("#back");
    await begin(page, "Kingfisher", "musicxml");
    await saved(page);
    await page.click("#back");
    await page.waitForSelector("#pieces-heading");
    equal(await page.locator("[aria-labelledby=pieces-heading] a").count(), 3, "pieces");
  });

  await step("desk: a lesson has tasks, and hints one at a time", async () => {
    await page.click("[aria-labelledby=lessons-heading] button");
    await page.waitForSelector(".tasks");
    holds(!(await text(page)).includes("expect"), "what is to be found is not given away");
    const task = page.locator(".tasks > li").first();
    equal(await task.locator(".hints li").count(), 0, "hints at first");
    await task.locator("button").focus();
    for (const shown of [1, 2, 2]) {
      await page.keyboard.press("Enter");
      equal(await task.locator(".hints li").count(), shown, "hints");
    }
    equal(await page.evaluate(() => document.activeElement?.textContent), "No more hints", "the focus");
    await page.click("#back");
    await page.waitForSelector("[aria-labelledby=lessons-heading] a:has-text('Go on')");
  });

  await step("desk: the wall shows who sits at a desk", async () => {
    const teacher = await context.newPage();
    await teacher.goto(served.wall);
    await page.locator("[aria-labelledby=pieces-heading] a").first().click();
    await page.waitForSelector(".cm-content");
    await teacher.waitForSelector("tr:has-text('Ilse Ferry') :text('at a desk')");
    await teacher.waitForSelector("tr:has-text('Ilse Ferry') td:has-text('0 of 2 fixed, 2 left')");
    await teacher.locator("a.student", { hasText: "Ilse Ferry" }).click();
    await teacher.locator(".marks summary").first().click();
    await teacher.waitForSelector(".marks details[open] li:has-text('middle C')");
    await teacher.close();
  });

  await step("desk: what the server offers to write can be chosen, and why it closes is said", async () => {
    const other = await context.newPage();
    let sent;
    // The program is never full here, so that is said in its place.
    await other.routeWebSocket("**/desk/talk", (window) => {
      sent = window;
      window.connectToServer();
    });
    await other.goto(`${served.desk}#/Otters%20at%20Dusk.abc`);
    await other.waitForSelector(".findings > li");
    await other.locator(".cm-content").focus();
    await other.keyboard.press("Control+End");
    await other.keyboard.insertText("% bellhand: ");
    await other.keyboard.press("Control+Space");
    await other.waitForSelector(".cm-tooltip-autocomplete li[aria-selected]:has-text('part')");
    await other.waitForSelector(".cm-completionInfo:has-text('What a part is')");
    // CodeMirror takes no choice in the first moment, so that nobody chooses unawares.
    await other.waitForTimeout(150);
    await other.keyboard.press("Enter");
    await until(async () => (await text(other)).endsWith("% bellhand: part "), "what was chosen");
    for (const [code, words] of [[1013, "too many desks"], [1008, "asked too much"]]) {
      await sent.close({ code });
      await other.waitForSelector(`#notice:has-text("${words}")`);
      await until(async () => !(await other.locator("#notice").textContent()).includes(words), "connected again");
    }
    await other.close();
  });

  await step("desk: leaving shows the way in", async () => {
    await page.click("#leave");
    await page.waitForSelector("#code");
  });
  holds(view.wrong.length === 0, `the console says ${view.wrong.join("; ")}`);
  await context.close();
}
