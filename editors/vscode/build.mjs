// Bundles the extension and the page of its panel, and gathers the licences of what goes into the bundle.

import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { build } from "esbuild";

const shared = { bundle: true, minify: true, metafile: true };
const outcomes = await Promise.all([
  build({ ...shared, entryPoints: ["src/extension.ts"], outfile: "dist/extension.js", external: ["vscode"], loader: { ".abc": "text" }, format: "cjs", platform: "node", target: "node20" }),
  build({ ...shared, entryPoints: ["src/panel/webview/main.ts"], outfile: "dist/panel.js", format: "iife", platform: "browser", target: "es2022" }),
]);

const packages = new Set();
for (const input of outcomes.flatMap(({ metafile }) => Object.keys(metafile.inputs))) {
  const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(input);
  if (found) packages.add(found[1]);
}
const licences = [...packages].sort().map((folder) => {
  const { name, version, license } = JSON.parse(readFileSync(path.join(folder, "package.json"), "utf8"));
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
  if (!existsSync(folder) || !file) throw new Error(`${name} comes without its licence`);
  return `${name} ${version} (${license})\n\n${readFileSync(path.join(folder, file), "utf8").trim()}\n`;
});
writeFileSync("dist/licences.txt", licences.join(`\n${"-".repeat(80)}\n\n`));
