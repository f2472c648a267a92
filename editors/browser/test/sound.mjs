// What is heard: tones rendered without a loudspeaker and measured, and the buttons of a page that stands by itself.

import { execFileSync } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import os from "node:os";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";
import { equal, holds, judge, openPage, until } from "./page.mjs";

const HEAD = `X:1
T:Fog at the Pier
M:4/4
L:1/4
Q:1/4=120
K:none
V:1 name="Horn in F" transpose=-7
`;
/** Half a second for a quarter note; a half note is a second. */
const TONES = `!mf! c2 z2 | g2 C2 | !pp! c2 !ff! c2 | !mf! "^stopped" g2 "^open" g2 | "^con sord." z4 | g2 "^senza sord." z2 | "^gliss." C2 c2 | !p!!<(!c4 | !<)! !f! c4 |]`;

/** In the page: renders sounds, and measures them. */
const measure = {
  async render(sounds, seconds, volume) {
    const rate = 48000;
    const context = new OfflineAudioContext(1, Math.ceil(seconds * rate), rate);
    const output = new Horn.Output(context, volume);
    const joined = Horn.joins(sounds);
    sounds.forEach((sound, at) => Horn.voice(context, output.input, sound, Horn.starts(sound), joined[at]));
    window.heard = { rate, data: (await context.startRendering()).getChannelData(0) };
    return window.heard.data.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
  },
  of([from, until]) {
    const { rate, data } = window.heard;
    const part = data.subarray(Math.round(from * rate), Math.round(until * rate));
    const rms = Math.sqrt(part.reduce((sum, one) => sum + one * one, 0) / part.length);
    // The period by which it is most like itself, of those that a horn can have.
    const like = (lag) => {
      let [sum, own, other] = [0, 0, 0];
      for (let at = 0; at + lag < part.length; at += 1) {
        sum += part[at] * part[at + lag];
        own += part[at] ** 2;
        other += part[at + lag] ** 2;
      }
      return sum / Math.sqrt(own * other || 1);
    };
    const lags = Array.from({ length: Math.min(Math.floor(rate / 40), Math.floor(part.length / 2)) }, (_, lag) => (lag < rate / 1500 ? 0 : like(lag)));
    const best = Math.max(...lags);
    const lag = lags.findIndex((one, at) => one > 0.97 * best && one >= (lags[at + 1] ?? 0) && one >= (lags[at - 1] ?? 0));
    const [before, here, after] = [like(lag - 1), like(lag), like(lag + 1)];
    const hertz = rate / (lag + (before - after) / (2 * (before - 2 * here + after)));
    // How bright: the mean of its partials' frequencies, each by its strength.
    let [sum, weights] = [0, 0];
    for (let partial = 1; partial * hertz < 12000; partial += 1) {
      let [real, imaginary] = [0, 0];
      part.forEach((one, at) => {
        const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * at) / part.length);
        real += one * window * Math.cos((2 * Math.PI * partial * hertz * at) / rate);
        imaginary += one * window * Math.sin((2 * Math.PI * partial * hertz * at) / rate);
      });
      const strength = Math.hypot(real, imaginary);
      sum += strength * partial * hertz;
      weights += strength;
    }
    const step = part.reduce((most, one, at) => Math.max(most, Math.abs(one - (part[at - 1] ?? one))), 0);
    return { rms, hertz, centroid: sum / weights, step };
  },
};

/** In the page: keeps which notes were lit, in order, and what was made of the audio. */
function watch() {
  window.lit = [];
  // Which notes were lit when another was.
  window.beside = {};
  window.made = { contexts: 0, oscillators: 0 };
  const { AudioContext: Context, OscillatorNode: Oscillator } = window;
  window.AudioContext = class extends Context {
    constructor(...all) {
      super(...all);
      window.made.contexts += 1;
    }
  };
  window.OscillatorNode = class extends Oscillator {
    constructor(...all) {
      super(...all);
      window.made.oscillators += 1;
    }
  };
  const observer = new MutationObserver((changes) => {
    for (const { target, oldValue } of changes) {
      if (target.id && target.classList.contains("sounding") && !/\bsounding\b/.test(oldValue ?? "")) {
        window.lit.push(target.id);
        window.beside[target.id] = [...document.querySelectorAll(".sounding")].map(({ id }) => id);
      }
    }
  });
  observer.observe(document, { subtree: true, attributeFilter: ["class"], attributeOldValue: true });
}

export async function sound({ browser, program, step, out, opened }) {
  const folder = await mkdtemp(path.join(os.tmpdir(), "bellhand-sound-"));
  const root = path.join(path.dirname(fileURLToPath(import.meta.url)), "../../vscode/src/panel/webview/sound");
  const exported = ["heard", "output", "tone", "voice"].map((name) => `export * from "./${name}";`).join("\n");
  const { outputFiles } = await build({ stdin: { contents: exported, resolveDir: root, loader: "ts" }, bundle: true, write: false, format: "iife", globalName: "Horn", target: "es2022" });
  /** Makes the pages of a part; what is to be heard of it stands in them. */
  const drawn = async (name, music) => {
    const score = path.join(folder, `${name}.abc`);
    await writeFile(score, `${HEAD}${music}\n`);
    execFileSync(program, ["draw", score, "--page", "a4", "--into", folder], { stdio: "ignore" });
    return path.join(folder, `${name}-horn-in-f.html`);
  };
  const told = async (file) => JSON.parse(/class="heard">(.*?)<\/script>/s.exec(await readFile(file, "utf8"))[1]);

  const lab = await browser.newPage();
  await lab.addScriptTag({ content: `${outputFiles[0].text};window.Horn = Horn; window.measure = { render: ${measure.render.toString().replace("async render", "async function")}, of: ${measure.of.toString().replace("of(", "function (")} };` });
  const render = (sounds, seconds, volume) => lab.evaluate((all) => window.measure.render(...all), [sounds, seconds, volume]);
  const of = (from, until) => lab.evaluate((range) => window.measure.of(range), [from, until]);

  await step("sound: notes have their pitch, rests are silent", async () => {
    const { part, sounds } = await told(await drawn("tones", TONES));
    equal(part, "Horn in F", "the part");
    holds((await render(sounds, 19, 1)) > 0.1, "something is heard");
    for (const [from, until, hertz] of [
      [0.2, 0.8, 349.228],
      [2.2, 2.8, 523.251],
      [3.2, 3.8, 174.614],
      [4.2, 4.8, 349.228],
      [6.2, 6.8, 523.251],
      [10.2, 10.8, 523.251],
      [12.2, 12.8, 174.614],
      [13.2, 13.8, 349.228],
    ]) {
      const found = (await of(from, until)).hertz;
      holds(Math.abs(found / hertz - 1) < 0.002, `${hertz} Hz at ${from} s, not ${found}`);
    }
    for (const [from, until] of [[1.1, 1.95], [8.1, 9.95], [11.1, 11.95], [18.5, 19]]) {
      const { rms } = await of(from, until);
      holds(rms < 1e-5, `silence from ${from} to ${until} s, not ${rms}`);
    }
  });

  await step("sound: no note begins or ends with a click", async () => {
    const { step: within } = await of(2.2, 2.8);
    for (const [from, until] of [[1.95, 2.1], [2.85, 3], [4, 4.15], [5.9, 6.1], [7.9, 8.1]]) {
      const { step } = await of(from, until);
      holds(step <= 1.1 * Math.max(within, (await of(from - 0.3, from)).step, (await of(until, until + 0.3)).step), `no step from ${from} to ${until} s, not ${step}`);
    }
  });

  await step("sound: a rip is heard to run through the partials", async () => {
    for (const [at, hertz] of [[12.89, 218.27], [12.93, 261.92], [12.97, 305.57]]) {
      const found = (await of(at, at + 0.028)).hertz;
      holds(Math.abs(found / hertz - 1) < 0.02, `${hertz} Hz at ${at} s, not ${found}`);
    }
  });

  await step("sound: loud is louder and brighter, stopped brighter, muted darker, and a hairpin grows", async () => {
    const [soft, loud] = [await of(4.2, 4.8), await of(5.2, 5.8)];
    holds(loud.rms > 4 * soft.rms, `ff ${loud.rms} is louder than pp ${soft.rms}`);
    holds(loud.centroid > 1.5 * soft.centroid, `ff ${loud.centroid} Hz is brighter than pp ${soft.centroid} Hz`);
    const [stopped, open, muted] = [await of(6.2, 6.8), await of(7.2, 7.8), await of(10.2, 10.8)];
    holds(stopped.centroid > 1.5 * open.centroid, `stopped ${stopped.centroid} Hz is brighter than open ${open.centroid} Hz`);
    holds(muted.centroid < 0.9 * open.centroid, `muted ${muted.centroid} Hz is darker than open ${open.centroid} Hz`);
    const hairpin = [await of(14.2, 14.6), await of(14.8, 15.2), await of(15.5, 15.9)];
    holds(hairpin.every(({ rms, centroid }, at) => at === 0 || (rms > 1.2 * hairpin[at - 1].rms && centroid > 1.05 * hairpin[at - 1].centroid)), `it grows: ${JSON.stringify(hairpin)}`);
    console.log(`# centroids in Hz: pp ${soft.centroid.toFixed(0)}, ff ${loud.centroid.toFixed(0)}; open ${open.centroid.toFixed(0)}, stopped ${stopped.centroid.toFixed(0)}, muted ${muted.centroid.toFixed(0)}`);
  });

  await step("sound: it begins quiet, and nothing passes the limit", async () => {
    const { sounds } = await told(path.join(folder, "tones-horn-in-f.html"));
    const [quiet, limit] = await lab.evaluate(() => [Horn.QUIET, Horn.LIMIT]);
    const first = await render(sounds, 19, quiet);
    holds(first > 0.01 && first < 0.15, `quiet at first: ${first}`);
    const all = Array.from({ length: 40 }, (_, at) => ({ ...sounds[0], hertz: 100 + 20 * at, loudness: [[0, 1]] }));
    const most = await render(all, 1, 1);
    holds(most > 0.5 && most <= limit, `forty loud horns at full volume: ${most}`);
  });
  await lab.close();

  const view = await openPage(browser, 1280, "light");
  opened(view);
  const { page } = view;
  await page.addInitScript(watch);
  const play = page.locator(".sound button");
  const lit = () => page.evaluate(() => window.lit);
  const lights = () => page.locator(".sounding").count();

  await step("sound: nothing plays by itself; Play lights the notes in the order of performance, and comes to an end", async () => {
    await page.goto(pathToFileURL(await drawn("turns", `[Q:1/4=480] |: c d- |1 d e :|2 "^stopped" g z | [ce]2 |]`)).href);
    equal(await page.evaluate(() => window.made), { contexts: 0, oscillators: 0 }, "audio before anything is pressed");
    await play.focus();
    await page.keyboard.press("Space");
    await until(async () => (await play.textContent()) === "■ Stop", "playing");
    equal(await page.locator(".said").textContent(), "From the upbeat", "what is said");
    await until(async () => (await play.textContent()) === "▶ Play", "the end");
    equal(await lit(), ["note-0", "note-1", "note-2", "note-3", "note-0", "note-1", "note-4", "note-5", "note-6"], "what was lit");
    // Of a held note the head that is reached, and of a chord both.
    const beside = await page.evaluate(() => window.beside);
    equal([beside["note-2"], beside["note-6"]], [["note-2"], ["note-5", "note-6"]], "what was lit together");
    equal(await lights(), 0, "notes still lit");
  });

  await step("sound: it begins with the note that was pressed; Stop, Escape and Space end it", async () => {
    await page.goto(pathToFileURL(await drawn("long", `${"c d e f | ".repeat(20)}`)).href);
    await page.locator("#note-8").click();
    await play.click();
    await page.locator(".sounding").waitFor();
    await page.screenshot({ path: path.join(out, "sound.png") });
    equal((await lit())[0], "note-8", "the first");
    equal(await page.locator(".said").textContent(), "From bar 3", "what is said");
    await play.click();
    equal([await lights(), await play.textContent()], [0, "▶ Play"], "after Stop");
    for (const key of ["Escape", "Space"]) {
      await play.click();
      await page.locator(".sounding").waitFor();
      await page.evaluate(() => document.activeElement.blur());
      await page.keyboard.press(key);
      equal([await lights(), await play.textContent()], [0, "▶ Play"], `after ${key}`);
    }
    const count = (await lit()).length;
    await new Promise((resolve) => setTimeout(resolve, 700));
    equal((await lit()).length, count, "notes lit after it was stopped");
    await page.locator("#note-8").click();
    await page.evaluate(() => (window.lit = []));
    await play.click();
    await page.locator(".sounding").waitFor();
    equal((await lit())[0], "note-0", "the first, with none chosen");
    await play.click();
  });

  await step("sound: a part of 3,000 bars begins without making all of it, and its line is brought into view", async () => {
    await page.goto(pathToFileURL(await drawn("very-long", `${"c d e f | ".repeat(3000)}`)).href);
    await page.locator("#note-11000").click();
    await page.evaluate(() => scrollTo(0, 0));
    await play.click();
    await page.locator("#note-11000.sounding").waitFor();
    const { oscillators } = await page.evaluate(() => window.made);
    holds(oscillators > 0 && oscillators < 12, `a few oscillators, not ${oscillators}`);
    const seen = await page.locator("#note-11000").evaluate((note) => {
      const { top, bottom } = note.getBoundingClientRect();
      return top >= 0 && bottom <= innerHeight;
    });
    holds(seen, "the line in view");
    await page.evaluate(() => document.activeElement.blur());
    await page.keyboard.press("Escape");
  });

  await step("sound: of the parts of a page of findings one is heard at a time", async () => {
    const score = path.join(folder, "two.abc");
    await writeFile(score, `${HEAD.replace('V:1 name="Horn in F" transpose=-7', 'V:1 name="Horn 1 in F" transpose=-7\nV:2 name="Horn 2 in F" transpose=-7')}[V:1] ${"c d e f | ".repeat(9)}\n[V:2] ${"C D E F | ".repeat(9)}\n`);
    const html = path.join(folder, "two.html");
    await writeFile(html, execFileSync(program, ["check", "--format", "html", score, "--fail-on", "never"]));
    await page.goto(pathToFileURL(html).href);
    await judge(view, "the page of findings");
    equal(await play.count(), 2, "buttons");
    await play.nth(0).click();
    await page.locator(".sounding").first().waitFor();
    await play.nth(1).click();
    await page.locator("#score-1-part-2-note-0.sounding").waitFor();
    equal(await play.allTextContents(), ["▶ Play", "■ Stop"], "buttons");
    equal(await page.locator("[id^=score-1-part-1].sounding").count(), 0, "notes of the first part");
    await page.locator("input[type=range]").nth(1).fill("70");
    equal(await page.locator("input[type=range]").nth(0).inputValue(), "70", "the other part's volume");
    await play.nth(1).click();
  });
  await view.context.close();
  await rm(folder, { recursive: true, force: true });
}
