// Writes ../src/glyph/table.rs: outlines and sizes of the glyphs that a horn's staff shows, from the reference font of
// SMuFL 1.4 (SIL Open Font License 1.1, OFL.txt). `--check` fails where the file is not what would be written.

import { readFile, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import opentype from "opentype.js";

/** Every glyph by its name in SMuFL, with its code point there. */
const GLYPHS = {
  gClef: 0xe050,
  cClef: 0xe05c,
  fClef: 0xe062,
  ...numbered("timeSig", 0xe080, 10),
  noteheadDoubleWhole: 0xe0a0,
  noteheadWhole: 0xe0a2,
  noteheadHalf: 0xe0a3,
  noteheadBlack: 0xe0a4,
  augmentationDot: 0xe1e7,
  ...flags(),
  accidentalFlat: 0xe260,
  accidentalNatural: 0xe261,
  accidentalSharp: 0xe262,
  accidentalDoubleSharp: 0xe263,
  accidentalDoubleFlat: 0xe264,
  restDoubleWhole: 0xe4e2,
  restWhole: 0xe4e3,
  restHalf: 0xe4e4,
  restQuarter: 0xe4e5,
  ...Object.fromEntries(["8th", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"].map((name, at) => [`rest${name}`, 0xe4e6 + at])),
  articAccentAbove: 0xe4a0,
  articAccentBelow: 0xe4a1,
  articStaccatoAbove: 0xe4a2,
  articStaccatoBelow: 0xe4a3,
  articTenutoAbove: 0xe4a4,
  articTenutoBelow: 0xe4a5,
  articStaccatissimoAbove: 0xe4a6,
  articStaccatissimoBelow: 0xe4a7,
  articMarcatoAbove: 0xe4ac,
  articMarcatoBelow: 0xe4ad,
  brassMuteClosed: 0xe5e5,
  brassMuteOpen: 0xe5e7,
  fermataAbove: 0xe4c0,
  breathMarkComma: 0xe4ce,
  caesura: 0xe4d1,
  ornamentTrill: 0xe566,
  ornamentTurn: 0xe567,
  ornamentShortTrill: 0xe56c,
  ornamentMordent: 0xe56d,
  segno: 0xe047,
  coda: 0xe048,
  dynamicPiano: 0xe520,
  dynamicMezzo: 0xe521,
  dynamicForte: 0xe522,
  dynamicRinforzando: 0xe523,
  dynamicSforzando: 0xe524,
  dynamicZ: 0xe525,
  dynamicNiente: 0xe526,
  ...numbered("tuplet", 0xe880, 10),
};

/** Pixels of a staff space, and units of the font in one. */
const SPACE = 8;
const UNITS = 250;

function numbered(name, first, count) {
  return Object.fromEntries(Array.from({ length: count }, (_, at) => [`${name}${at}`, first + at]));
}

function flags() {
  const names = ["8th", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"];
  return Object.fromEntries(names.flatMap((name, at) => [[`flag${name}Up`, 0xe240 + 2 * at], [`flag${name}Down`, 0xe241 + 2 * at]]));
}

/** `noteheadBlack` as the name of a constant. */
const constant = (name) => name.replace(/([a-z])([A-Z0-9])/g, "$1_$2").replace(/([0-9])([A-Z])/g, "$1_$2").toUpperCase();

/** A number as Rust has it, to a thousandth. */
const float = (value) => {
  const short = String(Math.round(value * 1000) / 1000);
  return short.includes(".") ? short : `${short}.0`;
};

/** The outline in pixels, down the page, each point told from the one before. */
function outline(commands) {
  const [scale, digits] = [SPACE / UNITS, 100];
  let [x, y, path] = [0, 0, ""];
  let start = [0, 0];
  const at = (px, py) => [Math.round(px * scale * digits), Math.round(py * scale * digits)];
  const told = (...points) => points.flatMap(([px, py]) => [px - x, py - y]).map((value) => String(value / digits).replace(/^(-?)0\./, "$1."));
  const joined = (numbers) => numbers.reduce((all, number) => all + (all && !number.startsWith("-") ? " " : "") + number, "");
  for (const one of commands) {
    if (one.type === "Z") {
      path += "z";
      // What comes next is told from where this line began.
      [x, y] = start;
      continue;
    }
    const points = [[one.x1, one.y1], [one.x2, one.y2], [one.x, one.y]].filter(([px]) => px !== undefined).map(([px, py]) => at(px, -py));
    path += { M: "m", L: "l", C: "c", Q: "q" }[one.type] + joined(told(...points));
    [x, y] = points.at(-1);
    if (one.type === "M") start = [x, y];
  }
  return path;
}

const font = createRequire(import.meta.url).resolve("@vexflow-fonts/bravura/package.json").replace("package.json", "");
const buffer = await readFile(`${font}bravura.otf`);
const read = opentype.parse(buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.byteLength));
const metadata = JSON.parse(await readFile(`${font}metadata.json`, "utf8"));

let table = `//! Outlines and sizes of glyphs, made by \`server/picture/glyphs\`; not to be changed by hand.
//!
//! From the font Bravura, version ${metadata.fontVersion}, Copyright © 2019, Steinberg Media Technologies GmbH (http://www.steinberg.net/),
//! with Reserved Font Name "Bravura", under the SIL Open Font License 1.1: \`server/picture/glyphs/OFL.txt\`.

use super::Glyph;
`;
for (const [name, code] of Object.entries(GLYPHS)) {
  const glyph = read.charToGlyph(String.fromCodePoint(code));
  if (glyph.index === 0) throw new Error(`the font has no ${name}`);
  const box = metadata.glyphBBoxes[name];
  const anchors = metadata.glyphsWithAnchors[name] ?? {};
  const [up, down] = [anchors.stemUpSE ?? anchors.stemUpNW ?? [0, 0], anchors.stemDownNW ?? anchors.stemDownSW ?? [0, 0]];
  table += `
pub(crate) const ${constant(name)}: Glyph = Glyph {
    name: "${name}",
    width: ${float(metadata.glyphAdvanceWidths[name] ?? (box.bBoxNE[0] - box.bBoxSW[0]))},
    left: ${float(box.bBoxSW[0])},
    right: ${float(box.bBoxNE[0])},
    top: ${float(-box.bBoxNE[1])},
    bottom: ${float(-box.bBoxSW[1])},
    stem_up: (${float(up[0])}, ${float(-up[1])}),
    stem_down: (${float(down[0])}, ${float(-down[1])}),
    outline: "${outline(glyph.path.commands.length ? glyph.path.commands : glyph.getPath(0, 0, 1000).commands)}",
};
`;
}

const into = fileURLToPath(new URL("../src/glyph/table.rs", import.meta.url));
if (process.argv.includes("--check")) {
  if ((await readFile(into, "utf8")) !== table) {
    console.error(`${into} is not what the font gives: run \`npm run generate\` in server/picture/glyphs`);
    process.exit(1);
  }
  console.log(`${Object.keys(GLYPHS).length} glyphs are as the font has them`);
} else {
  await writeFile(into, table);
}
