// Bundles the pages into the program's own folder, with the licences of what goes into them: node build.mjs [--check]
// With --check nothing is written, and what would be other is an error.

import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = path.dirname(fileURLToPath(import.meta.url));
const out = path.join(here, "../../server/class/src/assets");
process.chdir(here);

const shared = { bundle: true, minify: true, metafile: true, write: false, legalComments: "none", target: "es2022" };
const outcomes = await Promise.all(
  ["wall", "desk"].flatMap((page) => [
    build({ ...shared, entryPoints: [`src/${page}/main.ts`], outfile: `${page}.js`, format: "iife", platform: "browser" }),
    build({ ...shared, entryPoints: [`src/${page}/${page}.css`], outfile: `${page}.css` }),
  ]),
);
// What lets a page that stands by itself be heard is part of that page.
const sound = await build({ ...shared, entryPoints: ["src/page/main.ts"], outfile: "sound.js", format: "iife", platform: "browser" });

/** The licence of every package that something in a bundle came from. */
function licences() {
  const packages = new Set();
  for (const input of outcomes.flatMap(({ metafile }) => Object.keys(metafile.inputs))) {
    const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(input);
    if (found) packages.add(found[1]);
  }
  const texts = [...packages].sort().map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(path.join(folder, "package.json"), "utf8"));
    const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
    if (!file) throw new Error(`${name} comes without its licence`);
    return `${name} ${version} (${license})\n\n${readFileSync(path.join(folder, file), "utf8").trim()}\n`;
  });
  return texts.join(`\n${"-".repeat(80)}\n\n`);
}

const files = new Map(outcomes.flatMap(({ outputFiles }) => outputFiles.map((file) => [path.basename(file.path), file.text])));
for (const page of ["wall.html", "desk.html"]) files.set(page, readFileSync(`src/${page}`, "utf8"));
files.set("licences.txt", licences());
files.set("../../../files/src/page/sound.js", sound.outputFiles[0].text);

const stale = [];
for (const [name, text] of files) {
  const file = path.join(out, name);
  if (process.argv.includes("--check")) {
    let there = null;
    try {
      there = readFileSync(file, "utf8");
    } catch {}
    if (there !== text) stale.push(name);
  } else {
    writeFileSync(file, text);
  }
}
if (stale.length > 0) {
  console.error(`browser: ${stale.join(", ")} in ${path.relative(process.cwd(), out)} is not what the sources make: run node editors/browser/build.mjs`);
  process.exitCode = 1;
}
