// Both pages at three widths, in light and dark: axe finds nothing, nothing is wider than its window, the console is
// quiet; and pictures to look at.

import path from "node:path";
import { pieces } from "./class.mjs";
import { equal, holds, judge, openPage } from "./page.mjs";

const SCORE = `%abc-2.1

X:1
T:Mist over the Landing
M:4/4
L:1/8
Q:1/4=88
K:none
V:1 name="Horn 1 in F" transpose=-7
!mf! c2 e2 g2 c'2 | b4 a4 | "^con sord." g2 e2 c4 | z8 |
"^stopped" A,2 C2 E2 G2 | "^open" !f! c'2 d'2 e'2 d'2 | c'8 | z8 |]
`;

const visitors = ["Ilse Ferry", "Jon Sandbar", "Kit Osier", "Lena Mallard", "Moss Tiller", "Nora Sluice"];

/** Sets the cursor at a place of the text, and waits until the picture shows it. */
async function stands(page, place) {
  await page.waitForSelector(".picture svg");
  // Lines are wrapped, so only steps to the right lead surely there.
  const steps = await page.evaluate((wanted) => [...document.querySelectorAll(".cm-line")].map(({ textContent }) => textContent).join("\n").indexOf(wanted), place);
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Control+Home");
  for (let step = 0; step < steps; step += 1) await page.keyboard.press("ArrowRight");
  await page.locator(".picture .note.current").waitFor();
  await page.waitForSelector("summary:has-text('written for horn in F')");
}

export async function looks({ browser, served, step, out, opened }) {
  served.save("Basil Weir", pieces(3));
  served.save("Greta Sedge", pieces(4));
  let first = true;
  for (const scheme of ["light", "dark"]) {
    for (const width of [1280, 390, 1920]) {
      const named = (what) => path.join(out, `${what}-${width}-${scheme}.png`);
      const view = await openPage(browser, width, scheme, ["401 (Unauthorized)"]);
      opened(view);
      const { page } = view;
      const student = visitors.shift();

      await step(`looks: the desk at ${width} pixels, ${scheme}`, async () => {
        await page.goto(served.desk);
        await page.waitForSelector("#code");
        await judge(view, "the way in");
        await page.fill("#code", served.code);
        await page.fill("#who", student);
        await page.keyboard.press("Enter");
        await page.waitForSelector("#title");
        await judge(view, "the pieces");
        await page.click("[aria-labelledby=lessons-heading] button");
        await page.locator(".tasks button").first().click();
        await stands(page, "G,4");
        await judge(view, "a lesson");
        if (first) await page.screenshot({ path: path.join(out, "desk.png") });
        await page.click("#back");
        await page.fill("#title", "Mist over the Landing");
        await page.click("#notation ~ button");
        await page.waitForSelector(".picture svg");
        await page.locator(".cm-content").focus();
        await page.keyboard.press("Control+A");
        await page.keyboard.insertText(SCORE);
        await page.locator(".findings > li", { hasText: "stopped/too-low" }).first().locator("summary").click();
        await page.waitForSelector(".findings button.review");
        await page.locator("#saved[data-kind=saved]").waitFor();
        await stands(page, "A,2");
        await judge(view, "the desk");
        const [text, picture] = await Promise.all([".text", ".picture"].map((one) => page.locator(one).boundingBox()));
        equal(picture.y >= text.y + text.height, width === 390, "the picture stands below the text");
        await page.evaluate(() => scrollTo(0, 0));
        await page.screenshot({ path: named("desk"), fullPage: width === 390 });
      });

      await step(`looks: the wall at ${width} pixels, ${scheme}`, async () => {
        await page.goto(served.wall);
        await page.waitForSelector("a.student");
        await page.waitForFunction(() => /new/.test(document.querySelector("#rows")?.textContent ?? ""));
        await judge(view, "the wall");
        await page.screenshot({ path: named("wall"), fullPage: true });
        if (first) await page.screenshot({ path: path.join(out, "wall.png") });
        await page.click("#large");
        await judge(view, "the wall in large type");
        if (width === 1920) await page.screenshot({ path: named("large") });
        await page.click("#large");
        await page.click("#desks");
        await judge(view, "the desks' address");
        await page.screenshot({ path: named("address") });
        await page.keyboard.press("Escape");
        await page.locator("a.student", { hasText: "Edda Marsh" }).click();
        await page.waitForSelector(".finding-item");
        await page.click("text=Show all fixes");
        await judge(view, "a student's parts");
        await page.screenshot({ path: named("student"), fullPage: true });
        holds((await page.locator(".picture svg").count()) === 3, "three pictures");
      });
      first = false;
      await view.context.close();
    }
  }
}
