// Paper, as a browser prints it: as many sheets as a part has pages, each of its size, and no line of music cut.

import { execFileSync } from "node:child_process";
import { mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { equal, holds } from "./page.mjs";

/** In the page: how many things stand there, and which words and signs lie on one another or on notes. */
function overlaps() {
  const outside = "text, .sign, .breath-mark, .shape";
  const found = [];
  let count = 0;
  for (const system of document.querySelectorAll(".system")) {
    const all = [...system.querySelectorAll(`${outside}, .head, .rest, .accidental, .dot, .flag, .clef, .key, .meter, .dynamic`)].map((one) => {
      const { left, right, top, bottom } = one.getBoundingClientRect();
      // Letters do not fill the height of their line.
      const slack = one.tagName === "text" ? (bottom - top) * 0.22 : 0;
      return { name: `${one.getAttribute("class")} ${one.textContent}`.trim(), left, right, top: top + slack, bottom: bottom - slack, word: one.matches(outside) };
    });
    count += all.length;
    all.sort((one, other) => one.left - other.left);
    all.forEach((one, at) => {
      for (const other of all.slice(at + 1)) {
        if (other.left > one.right - 1) break;
        const deep = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
        const wide = Math.min(one.right, other.right) - other.left;
        if (deep > 1.2 && wide > 1 && (one.word || other.word)) found.push([one.name, other.name, Math.round(one.left)]);
      }
    });
  }
  return [count, found];
}

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
  await step("print: words and signs of the demo, the lessons and a real part lie on nothing", async () => {
    const pictures = path.join(folder, "pictures");
    const lessons = (await readdir(path.join(path.dirname(demo), "lessons"))).filter((name) => /\.(abc|krn|musicxml)$/.test(name));
    const real = path.join(path.dirname(demo), "../scores/musicxml/Brahms_Op.98_1.horns.musicxml");
    const scores = [demo, ...lessons.map((name) => path.join(path.dirname(demo), "lessons", name)), real];
    execFileSync(program, ["draw", "--into", pictures, ...scores]);
    let things = 0;
    for (const name of await readdir(pictures)) {
      await page.goto(pathToFileURL(path.join(pictures, name)).href);
      const [count, over] = await page.evaluate(overlaps);
      things += count;
      equal(JSON.stringify(over), "[]", `${name}: what lies on something else`);
    }
    holds(things > 4000, `things looked at, not ${things}`);
  });
  await page.close();
  await rm(folder, { recursive: true, force: true });
}
