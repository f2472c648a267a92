// A lesson played back: twenty-five students of the brass course save their answers one after the other, and the wall
// shows before, between and after what they come to: lesson.mjs PROGRAM OUT

import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { chromium, equal, holds, judge, openPage, until } from "./page.mjs";
import { Served } from "./served.mjs";

const [program, out] = process.argv.slice(2);
const lessons = path.join(path.dirname(fileURLToPath(import.meta.url)), "../../../tests/demo/lessons");
const files = readdirSync(lessons).filter((file) => /^\d/.test(file)).sort();
const given = (file) => readFileSync(path.join(lessons, file), "utf8");
const answer = (file) => readFileSync(path.join(lessons, "answers", file), "utf8");
const names = [
  "Ada Brook", "Basil Weir", "Cosima Reed", "Dario Landing", "Edda Marsh", "Fenn Alder", "Greta Sedge", "Hugo Millrace", "Ilse Ferry",
  "Jonas Eddy", "Kaja Willow", "Leo Tern", "Mina Lock", "Nils Ford", "Orla Rush", "Piet Heron", "Quinta Mere", "Rosa Bank", "Sven Otter",
  "Tilda Quay", "Ulf Delta", "Vera Pike", "Wim Buoy", "Xenia Shoal", "Yrsa Drift",
];

/** What one of them does: most put all right, every fifth does nothing, and every seventh spoils the music. */
const does = (number) => (number % 7 === 6 ? "spoils" : number % 5 === 4 ? "nothing" : "fixes");
// Who comes after the last lesson begins with the second, so that what is spoilt is never a lesson whose every bar may change.
const lessonOf = (number) => files[(number + Math.floor(number / files.length)) % files.length];
const served = new Served(program, [], ["unused.abc", "X:1\n% bellhand: task Play.\nK:none\nc4|]\n"]);
served.lessons = lessons;
for (const [number, name] of names.entries()) served.hand(name, given(lessonOf(number)), lessonOf(number));
const browser = await chromium.launch({ executablePath: process.env.BELLHAND_TEST_CHROMIUM, headless: true, args: ["--no-sandbox", "--disable-gpu"] });
try {
  await served.start();
  const view = await openPage(browser, 1920, "light");
  const { page } = view;
  await page.goto(served.wall);
  await page.waitForSelector("a.student");
  const marks = () => page.evaluate(() => Object.fromEntries([...document.querySelectorAll("#rows tr")].map((row) => [row.querySelector("a").textContent, row.querySelector("td:nth-of-type(2)").textContent])));
  equal(await page.locator("a.student").count(), names.length, "students");
  holds(Object.values(await marks()).every((words) => /^0 of \d+ fixed/.test(words)), `nothing is fixed yet: ${JSON.stringify(await marks())}`);
  await page.screenshot({ path: path.join(out, "lesson-before.png"), fullPage: true });
  const took = [];
  for (const [number, name] of names.entries()) {
    const file = lessonOf(number);
    if (does(number) === "nothing") continue;
    const text = does(number) === "fixes" ? answer(file) : spoilt(file);
    const began = performance.now();
    const before = (await marks())[name];
    served.save(name, text, file);
    await until(async () => (await marks())[name] !== before, `${name}'s answer on the wall`);
    took.push(performance.now() - began);
  }
  const after = await marks();
  for (const [number, name] of names.entries()) {
    const wanted = { fixes: /^(\d+) of \1 fixed/, nothing: /^0 of \d+ fixed/, spoils: /music/ }[does(number)];
    holds(wanted.test(after[name]), `${name} ${does(number)} ${lessonOf(number)}: ${after[name]}`);
  }
  const done = names.filter((_, number) => does(number) === "fixes").length;
  equal(await page.locator("#rows .done:visible").count(), done, "students who are done");
  await judge(view, "the wall at the end");
  await page.screenshot({ path: path.join(out, "lesson-after.png"), fullPage: true });
  took.sort((one, other) => one - other);
  const ms = (share) => Math.round(took[Math.floor((took.length - 1) * share)]);
  console.log(`ok lesson: ${names.length} students, ${took.length} answers; save to wall, as the page shows it: median ${ms(0.5)} ms, most ${ms(1)} ms`);
} finally {
  await browser.close();
  await served.close();
}

/** An answer whose last bar is gone. */
function spoilt(file) {
  const text = answer(file);
  if (file.endsWith(".abc")) return text.replace(/\|[^|\n]*\|\]/g, "|]");
  if (file.endsWith(".musicxml")) return text.replace(/<measure number="\d+">(?:(?!<measure )[^])*?<\/measure>\s*(?=<\/part>)/g, "");
  return text.replace(/\n=\d+[^=]*\n==/g, "\n==");
}
