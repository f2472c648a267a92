// The picture of a part beside its text: by mouse, by keys, after a reload, in dark and high contrast.

import assert from "node:assert";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import path from "node:path";

/** Where the cursor is, by the status bar. */
const cursor = (page) => page.evaluate(() => document.querySelector("#status\\.editor\\.selection")?.innerText.replaceAll("\u00a0", " ") ?? "not told");

export async function panel({ page, open, folder, step, screenshot, wait }) {
  await open("evening-ferry.abc");
  // Pages of extensions stand in a frame in a frame.
  const picture = page.frameLocator("iframe.webview.ready").frameLocator("#active-frame");
  const notes = picture.locator("#bellhand-picture .note[role=button]");
  const current = picture.locator("#bellhand-picture .note.current");
  const labelled = async (label) => {
    for (const end = Date.now() + wait.timeout; Date.now() < end; await page.waitForTimeout(50)) {
      if ((await current.count()) === 1 && (await current.getAttribute("aria-label")) === label) return;
    }
    assert.fail(`the current note is ${await current.getAttribute("aria-label").catch(() => "none")}, not ${label}`);
  };
  const cursorIs = async (test) => {
    for (const end = Date.now() + wait.timeout; Date.now() < end; await page.waitForTimeout(50)) {
      if (test(await cursor(page))) return;
    }
    assert.fail(`the cursor is at ${await cursor(page)}`);
  };
  const goToLine = async (line) => {
    await page.locator(".view-line", { hasText: "f2 g a" }).first().click();
    await page.keyboard.press("Control+g");
    await page.locator(".quick-input-widget:visible input").waitFor(wait);
    await page.keyboard.type(line);
    await page.keyboard.press("Enter");
    const [row, column] = line.split(":");
    await cursorIs((at) => at === `Ln ${row}, Col ${column}`);
  };

  await step("the picture opens from the title bar, beside the score", async () => {
    await page.waitForFunction(() => document.querySelectorAll(".squiggly-warning").length >= 5, null, wait);
    // Horn 2's first note.
    await goToLine("20:10");
    await page.locator('.editor-actions .action-label[aria-label*="as a Picture"]').first().click();
    await notes.first().waitFor(wait);
    await current.waitFor(wait);
    // Heading, music and legend stand in this order.
    assert.deepStrictEqual(await picture.locator("#bellhand-picture > div").evaluateAll((all) => all.map(({ className }) => className)), ["head", "lines", "foot"]);
  });
  const [first, second] = [await notes.nth(0).getAttribute("aria-label"), await notes.nth(1).getAttribute("aria-label")];
  await step("a click on a note selects its text", async () => {
    await notes.nth(1).click();
    await labelled(second);
    await page.waitForSelector(".monaco-editor .selected-text", wait);
    await page.screenshot({ path: screenshot });
    // The status bar tells of the cursor only while the text has the focus.
    await page.locator(".tab", { hasText: "evening-ferry.abc" }).click();
    await cursorIs((at) => /Ln 20, Col 1[4-7] \(\d selected\)/.test(at));
  });
  await step("moving in the text moves the mark", async () => {
    await goToLine("20:10");
    await labelled(first);
  });
  await step("the part is heard from the note at the cursor on, and stops by the button, by Escape and by typing", async () => {
    const play = picture.locator(".sound .play");
    const lit = picture.locator(".note.sounding");
    const silent = async () => {
      for (const end = Date.now() + wait.timeout; (await play.textContent()) !== "▶ Play"; await page.waitForTimeout(50)) assert.ok(Date.now() < end, "it is still played");
      assert.equal(await lit.count(), 0);
    };
    await silent();
    const typing = async () => {
      await page.locator(".tab", { hasText: "evening-ferry.abc" }).click();
      await page.keyboard.type(" ");
    };
    for (const stop of [() => play.click(), () => page.keyboard.press("Escape"), typing]) {
      await goToLine("20:10");
      await labelled(first);
      await play.click();
      await lit.first().waitFor(wait);
      assert.equal(await lit.first().getAttribute("aria-label"), first);
      assert.equal(await play.textContent(), "■ Stop");
      await stop();
      await silent();
    }
    await page.keyboard.press("Backspace");
    await labelled(first);
  });
  await step("typing draws it anew, in the same place", async () => {
    const before = await notes.count();
    await page.keyboard.type("c ");
    for (const end = Date.now() + wait.timeout; (await notes.count()) !== before + 1; await page.waitForTimeout(50)) assert.ok(Date.now() < end, `there are ${await notes.count()} notes, not ${before + 1}`);
    for (const key of ["Backspace", "Backspace"]) await page.keyboard.press(key);
    for (const end = Date.now() + wait.timeout; (await notes.count()) !== before; await page.waitForTimeout(50)) assert.ok(Date.now() < end, `there are ${await notes.count()} notes, not ${before}`);
  });
  await step("what is drawn anew stays where it was scrolled to", async () => {
    await page.locator(".view-line", { hasText: "K:Bb" }).first().click();
    await page.keyboard.press("End");
    // The key stands before all parts, so the first is drawn.
    await picture.locator("#bellhand-part", { hasText: /^Horn 1$/ }).waitFor({ ...wait, state: "attached" });
    const box = picture.locator("#bellhand-picture");
    const bottom = await box.evaluate((main) => {
      main.scrollTo(0, 9999);
      return main.scrollTop;
    });
    assert.ok(bottom > 50, `there is nothing to scroll: ${bottom}`);
    const redrawn = async (key) => {
      const drawn = await picture.locator("#bellhand-picture .row svg").first().elementHandle();
      await page.keyboard.press(key);
      for (const end = Date.now() + wait.timeout; await drawn.evaluate((old) => old.isConnected); await page.waitForTimeout(20)) assert.ok(Date.now() < end, `${key} draws nothing anew`);
    };
    await redrawn("m");
    const after = await box.evaluate((main) => main.scrollTop);
    await redrawn("Backspace");
    assert.ok(Math.abs(after - bottom) < 40, `it went from ${bottom} to ${after}`);
  });
  await step("nothing in a picture is run", async () => {
    const nothing = '<svg xmlns="http://www.w3.org/2000/svg"/>';
    const frame = { head: nothing, foot: nothing, lines: [{ bars: [1, 1], notes: 0, findings: 0 }], first: 0 };
    // Within the page and at once, so that no drawing of the server's comes between.
    const told = (svg, look) =>
      picture.locator("body").evaluate(
        (_, { message, look }) =>
          new Promise((done, late) => {
            window.postMessage(message, "*");
            setTimeout(() => late(new Error(`${look} is not shown`)), 120_000);
            const waiting = setInterval(() => {
              const seen = document.evaluate(look, document, null, XPathResult.FIRST_ORDERED_NODE_TYPE).singleNodeValue;
              if (seen === null) return;
              clearInterval(waiting);
              seen.dispatchEvent(new MouseEvent("click", { bubbles: true }));
              done([document.querySelectorAll("#bellhand-picture :is(script, a, foreignObject, [onclick], [onload])").length, window.ran ?? "nothing"]);
            }, 2);
          }),
        { message: { ...frame, kind: "picture", part: "x", drawn: [svg], places: [{ id: "note-0", label: "only" }], current: null, score: "x", pitch: "written", effort: true }, look },
      );
    const svg = '<svg xmlns="http://www.w3.org/2000/svg" onload="window.ran = 1"><title>x</title><script>window.ran = 1</script><a href="https://example.org"><text>x</text></a><foreignObject/><g id="note-0" class="note" onclick="window.ran = 1"><rect width="9" height="9"/></g></svg>';
    assert.deepStrictEqual(await told(svg, "//*[@aria-label='only']"), [0, "nothing"]);
    assert.deepStrictEqual(await told("<svg", "//p[contains(., 'cannot be shown')]"), [0, "nothing"]);
    // What the text says is drawn again once it changes.
    await goToLine("20:10");
    await page.keyboard.type("z");
    await picture.locator("#bellhand-picture .row svg").first().waitFor(wait);
    await page.keyboard.press("Backspace");
    await labelled(first);
  });
  const focused = () => picture.locator(":focus").getAttribute("aria-label");
  await step("arrows, Home and End go from note to note", async () => {
    await notes.nth(0).click();
    assert.strictEqual(await focused(), first);
    await page.keyboard.press("ArrowRight");
    assert.strictEqual(await focused(), second);
    await page.keyboard.press("End");
    assert.strictEqual(await focused(), await notes.last().getAttribute("aria-label"));
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("Home");
    assert.strictEqual(await focused(), first);
    assert.strictEqual(await picture.locator("#bellhand-picture .note[tabindex='0']").count(), 1);
  });
  await step("Tab reaches the findings", async () => {
    await page.keyboard.press("Tab");
    await picture.locator(".finding:focus, .note:focus").waitFor(wait);
    assert.ok((await picture.locator(".finding[role=button][tabindex='0']").count()) > 0);
  });
  await step("the space bar selects and stays, Enter goes on in the text", async () => {
    await notes.nth(1).focus();
    await page.keyboard.press("Space");
    await labelled(second);
    assert.strictEqual(await focused(), second);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement?.closest(".monaco-editor") !== null && document.activeElement?.tagName !== "IFRAME", null, wait);
  });
  await step("sounding pitch is a switch", async () => {
    const button = picture.getByRole("button", { name: "Sounding pitch" });
    const heads = () => picture.locator("#bellhand-picture").innerHTML();
    assert.strictEqual(await button.getAttribute("aria-pressed"), "false");
    const before = await heads();
    await button.click();
    for (const end = Date.now() + wait.timeout; (await heads()) === before; await page.waitForTimeout(50)) assert.ok(Date.now() < end, "the picture stays the same");
    assert.strictEqual(await button.getAttribute("aria-pressed"), "true");
    await button.click();
  });
  await step("breath and lip are folded away, and shown again", async () => {
    const button = picture.getByRole("button", { name: "Breath and lip" });
    const words = picture.locator("#bellhand-picture .row text", { hasText: /^breath$/ });
    assert.strictEqual(await button.getAttribute("aria-pressed"), "true");
    await words.first().waitFor(wait);
    await button.click();
    await words.first().waitFor({ ...wait, state: "detached" });
    assert.strictEqual(await button.getAttribute("aria-pressed"), "false");
    await button.click();
    await words.first().waitFor(wait);
  });
  await step("of a long part what is seen is drawn", async () => {
    await page.locator(".tab", { hasText: "evening-ferry.abc" }).click();
    await page.locator(".explorer-folders-view .monaco-list-row", { hasText: "long-crossing.abc" }).click();
    await picture.locator("#bellhand-part", { hasText: /^Horn in F$/ }).waitFor({ ...wait, state: "attached" });
    const lines = picture.locator("#bellhand-picture .row");
    const drawn = picture.locator("#bellhand-picture .row:has(svg)");
    const bar = (number) => picture.locator(`#bellhand-picture .note[aria-label*=", bar ${number},"]`);
    await bar(1).first().waitFor(wait);
    const few = async () => {
      const [some, all] = [await drawn.count(), await lines.count()];
      assert.ok(all > 200 && some < all / 4, `${some} of ${all} lines are drawn`);
    };
    await few();
    // By keys: the end is drawn once it is gone to, and the start again.
    await bar(1).first().focus();
    await page.keyboard.press("End");
    const reached = async (number) => {
      const there = (label) => label?.includes(`, bar ${number},`);
      for (const end = Date.now() + wait.timeout; !there(await picture.locator(":focus").getAttribute("aria-label").catch(() => "")); await page.waitForTimeout(50)) assert.ok(Date.now() < end, `bar ${number} is not reached`);
    };
    await reached(1600);
    await few();
    await page.keyboard.press("Home");
    await reached(1);
    // By wheel.
    await lines.nth(100).evaluate((line) => line.scrollIntoView());
    await lines.nth(100).locator("svg").waitFor(wait);
    await few();
    // By the cursor.
    await page.locator(".tab", { hasText: "long-crossing.abc" }).click();
    await page.keyboard.press("Control+End");
    await picture.locator('#bellhand-picture .note.current[aria-label*=", bar 1600,"]').waitFor(wait);
    // What is heard is followed, also to a line that is not drawn yet.
    await lines.first().evaluate((line) => line.scrollIntoView());
    await bar(1).first().waitFor(wait);
    assert.strictEqual(await bar(1600).count(), 0);
    await picture.getByRole("button", { name: "Play" }).click();
    await picture.locator('#bellhand-picture .note.sounding[aria-label*=", bar 1600,"]').waitFor(wait);
    await page.locator(".tab", { hasText: "long-crossing.abc" }).click();
    await page.keyboard.press("Control+End");
    // Typing redraws the line that it changes, and no other.
    const marked = await drawn.evaluateAll((all) => all.map((line) => line.querySelector("svg")).forEach((svg) => (svg.kept = true)) ?? all.length);
    await page.keyboard.type("c");
    const anew = () => drawn.evaluateAll((all) => all.filter((line) => !line.querySelector("svg").kept).length);
    for (const end = Date.now() + wait.timeout; (await anew()) === 0; await page.waitForTimeout(50)) assert.ok(Date.now() < end, "nothing is drawn anew");
    assert.ok(marked > 2 && (await anew()) <= 2, `${await anew()} of ${marked} lines are drawn anew`);
    await page.keyboard.press("Backspace");
    await page.locator(".tab", { hasText: "evening-ferry.abc" }).click();
    await goToLine("20:10");
    await labelled(first);
  });
  await step("a score without a horn is said to be one", async () => {
    // Files are opened in the group that has the focus; the picture's would hide it.
    await page.locator(".tab", { hasText: "evening-ferry.abc" }).click();
    await page.locator(".explorer-folders-view .monaco-list-row", { hasText: "no-horn.abc" }).click();
    await picture.getByText("There is no horn part in this score").waitFor(wait);
    await page.locator(".tab", { hasText: "evening-ferry.abc" }).click();
    await goToLine("20:10");
    await labelled(first);
  });
  await step("it is there again after a reload", async () => {
    // With a file to open in the address, the workbench would bring back nothing else.
    await page.evaluate(() => history.replaceState(null, "", location.href.replace(/&payload=.*/, "")));
    await page.keyboard.press("F1");
    await page.keyboard.type("Developer: Reload Window");
    await page.locator(".quick-input-list .monaco-list-row", { hasText: "Reload Window" }).first().waitFor(wait);
    await Promise.all([page.waitForEvent("load"), page.keyboard.press("Enter")]);
    await current.waitFor(wait);
  });
  const paper = () => picture.locator("#bellhand-picture .row svg").first().evaluate((svg) => getComputedStyle(svg).backgroundColor);
  for (const [theme, name] of [["Default Dark Modern", "dark"], ["Default High Contrast", "contrast"]]) {
    await step(`it wears the theme ${theme}`, async () => {
      const before = await paper();
      mkdirSync(path.join(folder, ".vscode"), { recursive: true });
      writeFileSync(path.join(folder, ".vscode/settings.json"), JSON.stringify({ "workbench.colorTheme": theme }));
      for (const end = Date.now() + wait.timeout; (await paper()) === before; await page.waitForTimeout(50)) assert.ok(Date.now() < end, `the paper stays ${before}`);
      // The theme's colours come in by and by.
      await page.waitForTimeout(500);
      await page.screenshot({ path: screenshot.replace(/\.png$/, `-${name}.png`) });
    });
  }
  rmSync(path.join(folder, ".vscode"), { recursive: true });
}
