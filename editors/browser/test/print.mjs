// Paper, as a browser prints it: as many sheets as a part has pages, each of its size, and no line of music cut.

import { execFileSync } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { equal, holds } from "./page.mjs";

export async function print({ browser, program, demo, step, out, opened }) {
  const folder = await mkdtemp(path.join(os.tmpdir(), "bellhand-print-"));
  const page = await browser.newPage();
  opened({ page });
  /** Opens a file and prints it: the text of the PDF, and how many sheets it has. */
  const printed = async (file) => {
    await page.goto(pathToFileURL(file).href);
    const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
    const text = pdf.toString("latin1");
    return { pdf, text, sheets: text.match(/\/Type\s*\/Page\b/g).length };
  };
  await step("print: a part's pages are as many sheets", async () => {
    const bars = `${"cdef gfed |".repeat(30)}z8 | z8 |`.repeat(6);
    const score = path.join(folder, "rope-walk.abc");
    await writeFile(score, `X:1\nT:The Rope Walk\nM:4/4\nL:1/8\nQ:1/4=100\nK:none\nV:1 name="Horn in F"\n${bars}]\n`);
    execFileSync(program, ["draw", score, "--page", "a4", "--plain", "--into", folder]);
    const { pdf, text, sheets } = await printed(path.join(folder, "rope-walk-horn-in-f.html"));
    holds(sheets >= 3, `several sheets, not ${sheets}`);
    equal(sheets, await page.locator("body > svg").count(), "a sheet for each page");
    // An A4 sheet in points.
    const [, width, height] = text.match(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/).map(Number);
    holds(Math.abs(width - 595.3) < 1.5 && Math.abs(height - 841.9) < 1.5, `A4, not ${width} by ${height}`);
    // All that is on a page lies on its paper.
    const outside = await page.evaluate(() =>
      [...document.querySelectorAll("body > svg")].filter((svg) => {
        const [paper, ink] = [svg.viewBox.baseVal, svg.getBBox()];
        return ink.x < 0 || ink.y < 0 || ink.x + ink.width > paper.width || ink.y + ink.height > paper.height;
      }).length,
    );
    equal(outside, 0, "pages with ink beside the paper");
    await writeFile(path.join(out, "pages.pdf"), pdf);
  });
  await step("print: no line of music of the page of findings is cut", async () => {
    const html = path.join(folder, "findings.html");
    // Findings are no failure here: the exit code says that there are some.
    const check = () => execFileSync(program, ["check", "--format", "html", demo, "--fail-on", "never"]);
    await writeFile(html, check());
    await page.emulateMedia({ media: "print" });
    const { sheets } = await printed(html);
    holds(sheets >= 2, "sheets");
    const whole = await page.evaluate(() => {
      const all = [...document.querySelectorAll(".part > svg")];
      return [all.length, all.filter((svg) => getComputedStyle(svg).breakInside === "avoid").length];
    });
    holds(whole[0] >= 12, "heading, lines and legend of three parts");
    equal(whole[1], whole[0], "blocks that no sheet cuts");
  });
  await page.close();
  await rm(folder, { recursive: true, force: true });
}
