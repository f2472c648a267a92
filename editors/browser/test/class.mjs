// The invented class of the tests: a brass course at a summer school on a river island.

import { readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), "../../..");
// One for each of a few groups of rules, in the order that tests count on: notation, range, stopping, mute, rips, bell.
const tunes = [
  `X:1
T:Towpath
M:4/4
L:1/4
Q:1/4=92
K:D
V:1 name="Horn" transpose=-7
!mf! d2 e f | g f e d | ^^g4 | =c2 z2 | C,2 D,2 | C,4 | D,2 C,2 | z4 |
[K:D clef=tenor] D2 E2 | z4 | [K:D clef=bass] C,,4 | z4 |]`,
  `X:2
T:Above the Weir
M:4/4
L:1/4
Q:1/4=84
K:none
V:1 name="Horn 1 in F" transpose=-7
V:2 name="Horn 2 in F" transpose=-7
[V:1] !pp! c'2 z2 | z4 | !f! e' d' c' b | z4 | "^solo" C2 D E | D4 |]
[V:2] !mf! c2 d2 | z4 | !f! a b a g | z4 | z4 | !p! C,,4 |]`,
  `X:3
T:Hand in the Water
M:4/4
L:1/8
Q:1/4=100
K:none
V:1 name="Horn in F" transpose=-7
!mf! "^stopped" c2 d2 A,2 G,2 | e2 !open!g2 e4 | !open!c/ !+!c/ !open!c/ !+!c/ !open!c2 z4 | "^stopped" g4 e4 |]`,
  `X:4
T:Fog
M:4/4
L:1/4
Q:1/4=112
K:none
V:1 name="Horn in F" transpose=-7
!p! c e g e | "^con sord." c e g e | z4 | z4 | "^con sord." c2 d2 | "^cup mute" e4 |]`,
  `X:5
T:Rapids
M:4/4
L:1/8
Q:1/4=132
K:none
V:1 name="Horn in F" transpose=-7
!ff! "^gliss." (G2 ^c2) z4 | "^gliss." (c2 d2) z4 | "^gliss." (g2 c2) z4 | "^gliss." (C/ c'/) z z2 z4 | "^gliss." c4 z4 | g4 z4 |]`,
  `X:6
T:Osiers
M:4/4
L:1/4
Q:1/4=120
K:none
V:1 name="Horn in F" transpose=-7
!f! e c d e | "^bells up" g4 | z4 | "^bells down" c4 |]`,
];

/** A score of some of these tunes. */
export const pieces = (...numbers) => `%abc-2.1\n\n${numbers.map((number) => tunes[number]).join("\n\n")}\n`;

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
