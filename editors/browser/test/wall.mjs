// The wall, as a teacher uses it.

import { pieces, students } from "./class.mjs";
import { equal, holds, openPage, tabTo, until } from "./page.mjs";

const names = students.map(([name]) => name);

/** A row's cells in the words that are heard, by column. */
const heard = (page, name) =>
  page.evaluate((wanted) => {
    const columns = [...document.querySelectorAll("#heads th")].map(({ textContent }) => textContent);
    const row = [...document.querySelectorAll("#rows tr")].find((one) => one.querySelector("a").textContent === wanted);
    return Object.fromEntries([...row.querySelectorAll("td")].map((cell, at) => [columns[at + 1], cell.querySelector(".heard")?.textContent ?? cell.textContent]));
  }, name);
const shown = (page) => page.locator("a.student").allTextContents();
const focused = (page) => page.evaluate(() => document.activeElement?.textContent);

export async function wall({ browser, served, step, opened }) {
  const view = await openPage(browser, 1280, "light", ["ERR_CONNECTION_REFUSED", "ERR_INCOMPLETE_CHUNKED_ENCODING", "ERR_CONNECTION_RESET", "403 (Forbidden)"]);
  opened(view);
  const { page } = view;
  await page.goto(served.wall);
  await page.waitForSelector("a.student");

  await step("wall: a row for each student, and a column for each group that occurs", async () => {
    equal(await shown(page), names, "rows");
    equal((await page.locator("#heads th").allTextContents()).slice(0, 2), ["Student", "All"], "the first columns");
    const range = (await heard(page, "Ada Brook")).Range;
    holds(/^\d+ to fix, at worst warning$/.test(range), `range: ${range}`);
    equal((await heard(page, "Fenn Alder")).All, "nothing", "a score with nothing to fix");
    equal(await page.locator("tr:has-text('Fenn Alder') .done").isVisible(), true, "done");
    equal(await page.locator("tr:has-text('Ada Brook') .done").isVisible(), false, "not done");
    holds(!(await page.locator("#heads th").allTextContents()).includes("Natural"), "a group that does not occur");
    await page.click("#columns");
    holds((await page.locator("#heads th").count()) > 12, "all columns");
    await page.click("#columns");
  });

  await step("wall: what is saved is shown at once, what has the focus keeps it, and it is said", async () => {
    await page.locator("a.student", { hasText: "Basil Weir" }).focus();
    served.save("Basil Weir", pieces(3));
    await until(async () => /fixed/.test((await heard(page, "Basil Weir")).Stopped), "fixed");
    equal(await focused(page), "Basil Weir", "the focus");
    served.save("Hugo Millrace", pieces(1));
    await until(async () => /new/.test((await heard(page, "Hugo Millrace")).Range), "new");
    equal(await focused(page), "Basil Weir", "the focus");
    await until(async () => /Hugo Millrace has \d+ to fix/.test(await page.locator("#told").textContent()), "said");
    holds(/saved \d+ s ago/.test(await page.locator("tr:has-text('Hugo Millrace') .about").textContent()), "when it was saved");
    served.save("Hugo Millrace", students[7][1]);
    await until(() => page.locator("tr:has-text('Hugo Millrace') .done").isVisible(), "done again");
  });

  await step("wall: a student's parts open by keyboard, and Back leads to where one was", async () => {
    await page.focus("#columns");
    await tabTo(page, "a.student");
    equal(await focused(page), "Ada Brook", "the first student");
    await page.keyboard.press("Enter");
    await page.waitForSelector(".finding-item");
    equal(await focused(page), "Ada Brook", "the heading has the focus");
    holds((await page.locator(".picture svg").count()) >= 2, "two parts, two pictures");
    const first = page.locator(".finding-item").first();
    holds((await first.locator("mark").textContent()).length > 0, "the place is underlined");
    holds((await page.locator("dt").allTextContents()).includes("Why"), "why");
    equal(await page.locator(".finding-item details li").first().isVisible(), false, "fixes are hidden");
    await tabTo(page, ".finding-item summary");
    await page.keyboard.press("Enter");
    equal(await page.locator(".finding-item details[open] li").first().isVisible(), true, "fixes are shown");
    await page.locator(".finding-item button").first().click();
    const pressed = await page.evaluate(() => document.activeElement?.shadowRoot?.activeElement?.classList.contains("finding"));
    equal(pressed, true, "its mark in the picture has the focus");
    await page.keyboard.press("Enter");
    equal(await page.evaluate(() => document.activeElement?.classList.contains("finding-item")), true, "and leads back to it");
    served.save("Ada Brook", pieces(1, 2));
    await page.waitForSelector(".finding-item .new");
    await page.goBack();
    await page.waitForSelector("a.student");
    equal(await focused(page), "Ada Brook", "the focus after Back");
  });

  await step("wall: Escape leads back too, and the next student is one step away", async () => {
    await page.locator("a.student", { hasText: "Cosima Reed" }).click();
    await page.waitForSelector(".finding-item");
    await page.locator("nav a").last().click();
    await until(async () => (await page.locator("#student-heading").textContent()) === "Dario Landing", "the next student");
    await page.reload();
    await until(async () => (await page.locator("#student-heading").textContent()) === "Dario Landing", "the same student after a reload");
    await page.keyboard.press("Escape");
    await page.waitForSelector("a.student");
    equal(await focused(page), "Dario Landing", "the focus");
  });

  await step("wall: only what is asked for is counted and listed", async () => {
    await page.selectOption("#rule", "mute/no-time");
    equal(await page.locator("#heads th").allTextContents(), ["Student", "All", "Mute"], "columns");
    equal((await heard(page, "Ada Brook")).All, "nothing", "another rule is not counted");
    await page.locator("a.student", { hasText: "Dario Landing" }).click();
    await page.waitForSelector(".finding-item");
    equal(await page.locator("h5 code").allTextContents(), ["mute/no-time"], "listed rules");
    await page.selectOption("#severity", "error");
    await page.waitForSelector("text=Nothing here of what is shown now.");
    await page.click("#everything");
    await page.waitForSelector(".finding-item");
    holds((await page.locator("h5 code").count()) > 1, "all rules again");
    await page.goBack();
    await page.click("#everything");
    await page.selectOption("#group", "stopped");
    equal(await page.locator("#heads th").allTextContents(), ["Student", "All", "Stopped"], "columns of a group");
    await page.click("#everything");
  });

  await step("wall: sorted by most to fix", async () => {
    await page.selectOption("#sort", "most");
    equal((await shown(page))[0], "Edda Marsh", "who has most to fix");
    await page.locator("a.student", { hasText: "Hugo Millrace" }).focus();
    served.save("Hugo Millrace", pieces(0, 1, 2, 3, 4, 5));
    await until(async () => (await shown(page))[0] === "Hugo Millrace", "a row that moves");
    equal(await focused(page), "Hugo Millrace", "the focus");
    served.save("Hugo Millrace", students[7][1]);
    await until(async () => (await shown(page))[0] === "Edda Marsh", "the row moves back");
    equal(await focused(page), "Hugo Millrace", "the focus");
    await page.selectOption("#sort", "name");
  });

  await step("wall: hidden names stand nowhere on the page", async () => {
    served.save("Ada Brook", pieces(1), "Ada Brook, Weir.abc");
    await page.waitForSelector("tr:has-text('Ada Brook') .about:has-text('2 files')");
    await until(async () => (await page.locator("#told").textContent()).includes("Ada Brook"), "said");
    await page.click("#anonymous");
    holds((await shown(page)).every((name) => /^Student \d+$/.test(name)), "students by number");
    const everywhere = () => page.evaluate(() => document.documentElement.outerHTML + document.title);
    const on = await everywhere();
    equal(names.filter((name) => on.includes(name)), [], "names on the page");
    await page.locator("a.student").first().click();
    await page.waitForSelector(".finding-item");
    const inside = await everywhere();
    equal(names.filter((name) => inside.includes(name)), [], "names on a student's page");
    await page.goBack();
    await page.click("#anonymous");
  });

  await step("wall: what the class meets most, in the rule book's words", async () => {
    const [first] = await page.locator("#met-list li").allTextContents();
    holds(/\d+ students?, \d+ findings?/.test(first), first);
    await page.locator("#met-list summary").first().click();
    await page.locator("#met-list a").first().click();
    // A page hears of its new address a little later.
    await until(async () => (await page.locator("#rule").inputValue()) !== "", "only this rule");
    await page.goBack();
  });

  await step("wall: looks are kept over a reload", async () => {
    await page.click("#large");
    await page.selectOption("#theme", "dark");
    await page.reload();
    await page.waitForSelector("a.student");
    equal(await page.evaluate(() => ({ ...document.documentElement.dataset })), { theme: "dark", large: "true" }, "looks");
    await page.click("#large");
    await page.selectOption("#theme", "system");
  });

  await step("wall: the desks' address and code, large, by keyboard", async () => {
    await tabTo(page, "#desks", "Shift+Tab");
    await page.keyboard.press("Enter");
    const words = await page.locator("#address").textContent();
    holds(words.includes(served.code), "the code");
    holds(words.includes(new URL(served.desk).host), "the address");
    const size = await page.locator("#address .huge").first().evaluate((one) => Number.parseFloat(getComputedStyle(one).fontSize));
    holds(size >= 48, `${size} pixels`);
    const square = await page.locator("#address .square").boundingBox();
    holds(square.width >= 140 && square.height === square.width, "the square for cameras");
    await page.keyboard.press("Escape");
    equal(await page.evaluate(() => document.activeElement?.id), "desks", "the focus after it is closed");
  });

  await step("wall: names and scores are text, whatever stands in them", async () => {
    await page.evaluate(() => (window.untouched = true));
    served.save("Greta Sedge", '%abc-2.1\n\nX:1\nT:<img src=x onerror="window.untouched=false">\nM:4/4\nL:1/4\nK:D\nV:1 name="Horn <b>1</b> in F"\n!mf! d2 <script>alert(1)</script> e f |]\n');
    await page.locator("a.student", { hasText: "Greta Sedge" }).click();
    await page.waitForSelector("text=<img src=x");
    equal(await page.locator("article img, article b, article script").count(), 0, "elements made of a score");
    equal(await page.evaluate(() => window.untouched), true, "nothing of a score has run");
    await page.goBack();
    served.save("Greta Sedge", students[6][1]);
  });

  await step("wall: a lost connection is said, and the class comes back with it", async () => {
    await served.stop();
    await page.waitForSelector("#lost:not([hidden])");
    holds((await page.locator("#lost").textContent()).startsWith("Connection lost."), "the words");
    await served.start();
    // The program is another, and has given itself another key.
    await page.waitForSelector("#lost:has-text('the address that stood in the terminal')");
    await page.goto(served.wall);
    await page.waitForSelector("a.student");
    equal(await page.locator("#lost").isVisible(), false, "nothing is lost");
  });
  holds(view.wrong.length === 0, `the console says ${view.wrong.join("; ")}`);
  await view.context.close();
}
