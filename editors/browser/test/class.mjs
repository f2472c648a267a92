// The invented class of the tests: a brass course at a summer school on a river island.

import { readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), "../../..");
const [head, ...tunes] = readFileSync(path.join(root, "tests/demo/lessons.abc"), "utf8").split(/\n\n(?=X:)/);

/** A score with some of the demo's lessons in it, from 0. */
export const pieces = (...numbers) => `${head.split("\n")[0]}\n\n${numbers.map((number) => tunes[number]).join("\n\n")}\n`;

/** Students and what they have written. */
export const students = [
  ["Ada Brook", pieces(1)],
  ["Basil Weir", pieces(2, 3)],
  ["Cosima Reed", pieces(0)],
  ["Dario Landing", pieces(3)],
  ["Edda Marsh", readFileSync(path.join(root, "tests/demo/evening-ferry.abc"), "utf8")],
  ["Fenn Alder", readFileSync(path.join(root, "tests/demo/evening-ferry-fixed.abc"), "utf8")],
  ["Greta Sedge", pieces(4, 5)],
  ["Hugo Millrace", "%abc-2.1\n\nX:1\nT:Heron on the Weir\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf! c e g e | c4 |]\n"],
];
