// The invented class of the tests: a brass course at a summer school on a river island.

import { readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), "../../..");
const [head, ...tunes] = readFileSync(path.join(root, "tests/demo/lessons.abc"), "utf8").split(/\n\n(?=X:)/);

/** A score with some of the demo's lessons in it, from 0. */
export const pieces = (...numbers) => `${head.split("\n")[0]}\n\n${numbers.map((number) => tunes[number]).join("\n\n")}\n`;

/** A lesson of the course: its file, and its score. */
export const lesson = [
  "low-water.abc",
  `%abc-2.1

X:1
T:Low Water at the Landing
M:4/4
L:1/8
Q:1/4=88
K:none
V:1 name="Horn in F" transpose=-7
% bellhand: task One bar is to be stopped where the hand cannot reach. Help the player.
% bellhand: hint The hand works from middle C up.
% bellhand: hint Write the note an octave higher, or take the + away.
% bellhand: expect stopped/too-low in bar 3
% bellhand: task The mute goes in without time for it.
% bellhand: hint A player needs about three seconds, and both hands.
% bellhand: expect mute/no-time in bar 5
!mf! c2 e2 g2 e2 | c4 z4 | !+!G,4 !open!c4 | e4 d4 |
"^con sord." c2 e2 g4 | e8 | "^senza sord." z8 | z8 |]
`,
];

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
