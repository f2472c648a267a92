// Writes ../src/glyph/table: outlines and sizes of the glyphs that a horn's staff shows, from fonts under the SIL Open Font
// License 1.1 (OFL.txt). `--check` fails where a file is not what would be written.

import { mkdir, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import opentype from "opentype.js";
import { measured, moved, parsed, taken, written } from "./outline.mjs";
import { SIGNS, SPACE } from "./signs.mjs";

/** Pixels of a staff space in the outlines. */
const PIXELS = 8;

async function font(name, file) {
  const { buffer, byteOffset, byteLength } = await readFile(createRequire(import.meta.url).resolve(`@fontsource/${name}/files/${name}-${file}.woff`));
  return opentype.parse(buffer.slice(byteOffset, byteOffset + byteLength));
}
const fonts = {
  signs: await font("noto-music", "music-400-normal"),
  black: await font("noto-serif", "latin-900-normal"),
  italic: await font("noto-serif", "latin-700-italic"),
};

/** A glyph's outline in spaces, down the page from its origin, and how far what follows stands from it. */
function drawn(name, { path, parts, font = "signs", scale = 1, origin, turned, spaced }) {
  if (path !== undefined) return [parsed(path)];
  let advance = 0;
  const outlines = parts.map(({ code, contour, right = 0, up = 0 }) => {
    const glyph = fonts[font].charToGlyph(String.fromCodePoint(code));
    if (glyph.index === 0) throw new Error(`the font has nothing for ${name}`);
    advance = (glyph.advanceWidth / SPACE) * scale;
    return moved(taken(glyph, contour), (x) => ((x + right) / SPACE) * scale, (y) => (-(y + up) / SPACE) * scale);
  });
  const outline = outlines.flat();
  const box = measured(outline);
  const level = origin(box);
  const left = spaced ? 0 : box.left;
  return [moved(outline, (x) => x - left, (y) => (turned ? level - y : y - level)), spaced ? advance : undefined];
}

/** `noteheadBlack` as the name of a constant. */
const constant = (name) => name.replace(/([a-z])([A-Z0-9])/g, "$1_$2").replace(/([0-9])([A-Z])/g, "$1_$2").toUpperCase();

/** A number as Rust has it, to a thousandth. */
const float = (value) => {
  const short = String(Math.round(value * 1000) / 1000 + 0);
  return short.includes(".") ? short : `${short}.0`;
};

function entry(name, sign) {
  const [outline, advance] = drawn(name, sign);
  const { left, right, top, bottom, atLeft, atRight } = measured(outline);
  // A stem stands at the edge of a head, from where that is farthest out.
  const [up, down] = /^notehead(Half|Black)$/.test(name) ? [[right, atRight], [left, atLeft]] : [[0, 0], [0, 0]];
  return `
pub(crate) const ${constant(name)}: Glyph = Glyph {
    name: "${name}",
    width: ${float(advance ?? right)},
    left: ${float(left)},
    right: ${float(right)},
    top: ${float(top)},
    bottom: ${float(bottom)},
    stem_up: (${float(up[0])}, ${float(up[1])}),
    stem_down: (${float(down[0])}, ${float(down[1])}),
    outline: "${written(moved(outline, (x) => x * PIXELS, (y) => y * PIXELS))}",
};
`;
}

const MADE = "made by `server/picture/glyphs`; not to be changed by hand.";
const rooms = Object.entries(SIGNS).map(([room, signs]) => {
  const entries = Object.entries(signs).map(([name, sign]) => entry(name, sign));
  return [`${room}.rs`, `//! Outlines and sizes of ${room}, ${MADE}\n\nuse super::Glyph;\n${entries.join("")}`];
});
const names = Object.keys(SIGNS).sort();
const all = `//! Outlines and sizes of glyphs, ${MADE}
//!
//! From the fonts Noto Music and Noto Serif, Copyright 2022 The Noto Project Authors, under the SIL Open Font License 1.1:
//! \`server/picture/glyphs/OFL.txt\`. Plain shapes are bellhand's own.

use super::Glyph;

${names.map((name) => `mod ${name};\n`).join("")}
${names.map((name) => `pub(crate) use ${name}::*;\n`).join("")}`;

const into = fileURLToPath(new URL("../src/glyph/table/", import.meta.url));
const files = new Map([["mod.rs", all], ...rooms]);
if (process.argv.includes("--check")) {
  for (const file of new Set([...files.keys(), ...(await readdir(into))])) {
    if ((await readFile(into + file, "utf8").catch(() => undefined)) !== files.get(file)) {
      console.error(`${into}${file} is not what the fonts give: run \`npm run generate\` in server/picture/glyphs`);
      process.exit(1);
    }
  }
  console.log(`${Object.values(SIGNS).flatMap(Object.keys).length} glyphs are as the fonts have them`);
} else {
  await rm(into, { recursive: true, force: true });
  await mkdir(into, { recursive: true });
  for (const [file, text] of files) await writeFile(into + file, text);
}
