// What each glyph is drawn from, and where it is put. Names are those of SMuFL 1.4, as is where a glyph's origin lies: on
// the line of a clef, in the middle of heads and accidentals, at the end of a stem, on the base line of letters.

/** Units of the fonts in a staff space. */
export const SPACE = 244;

/** Heights of the staff in the font of signs, and the base line of its letters. */
const [SECOND_LINE, MIDDLE_LINE, FOURTH_LINE, FIRST_SPACE, BASE] = [256, 500, 744, 134, 351];

/** Where the origin lies, in spaces down the page: at a height of the font, halfway up, at the foot or at the top. */
const at = (height) => () => -height / SPACE;
const halfway = ({ top, bottom }) => (top + bottom) / 2;
const foot = ({ bottom }) => bottom;
const top = ({ top }) => top;

/** A sign of the font of signs. */
const sign = (code, origin) => ({ parts: [{ code }], origin });
/** The same upside down. */
const turned = (one) => ({ ...one, turned: true });
/** A letter or figure, with the room that its font gives it. */
const letter = (code, origin, font = "signs", scale = 1) => ({ parts: [{ code }], origin, font, scale, spaced: true });
/** A shape of our own, in spaces, down the page. */
const shape = (path) => ({ path });

const VALUES = ["8th", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"];
const FLAGS = [0x1d16e, 0x1d16f, 0x1d170, 0x1d171, 0x1d172];
const RESTS = [0x1d13e, 0x1d13f, 0x1d140, 0x1d141, 0x1d142];

/** The last of the font's flags or rests, with one more hook for each further value. */
function hooked(codes, value, hook) {
  const further = Math.max(value - codes.length + 1, 0);
  const hooks = Array.from({ length: further }, (_, more) => hook(more));
  return [{ code: codes[Math.min(value, codes.length - 1)] }, ...hooks];
}
/** Flags stand so far apart. */
const flag = (value) => ({ parts: hooked(FLAGS, value, (more) => ({ code: FLAGS[4], contour: 1, up: 178 * (more + 1) })), origin: top });
/** The hooks of rests stand a space apart along their slanted stem. */
const rest = (value) => ({ parts: hooked(RESTS, value, (more) => ({ code: RESTS[0], right: 209 + 70 * (more + 1), up: 475 + 252 * (more + 1) })), origin: at(MIDDLE_LINE) });
const values = (name, make) => VALUES.map((value, which) => [name(value), make(which)]);

/** A circle; one that turns the other way is a hole. */
const circle = (x, y, radius, turn = 0) => `M${x - radius} ${y}A${radius} ${radius} 0 1 ${turn} ${x + radius} ${y}A${radius} ${radius} 0 1 ${turn} ${x - radius} ${y}Z`;
const ZIGZAG = "M0 -.32L.36 -.32L.86 -.98L1.4 -.44L1.86 -.98L2.4 -.44L2.56 -.66L2.9 -.66L2.36 0L1.82 -.54L1.36 0L.82 -.54L.4 0Z";
const digits = (name, make) => Object.fromEntries(Array.from({ length: 10 }, (_, digit) => [`${name}${digit}`, make(0x30 + digit)]));

/** Every glyph, by the room that its outline goes into. */
export const SIGNS = {
  clefs: {
    gClef: sign(0x1d11e, at(SECOND_LINE)),
    cClef: sign(0x1d121, at(MIDDLE_LINE)),
    fClef: sign(0x1d122, at(FOURTH_LINE)),
  },
  heads: {
    noteheadDoubleWhole: sign(0x1d15c, halfway),
    noteheadWhole: sign(0x1d15d, halfway),
    noteheadHalf: sign(0x1d157, halfway),
    noteheadBlack: sign(0x1d158, halfway),
    augmentationDot: shape(circle(0.2, 0, 0.2)),
  },
  flags: Object.fromEntries([...values((value) => `flag${value}Up`, flag), ...values((value) => `flag${value}Down`, (value) => turned(flag(value)))]),
  accidentals: {
    accidentalFlat: sign(0x266d, at(FIRST_SPACE)),
    accidentalNatural: sign(0x266e, at(FIRST_SPACE)),
    accidentalSharp: sign(0x266f, at(FIRST_SPACE)),
    accidentalDoubleSharp: sign(0x1d12a, halfway),
    accidentalDoubleFlat: sign(0x1d12b, at(FIRST_SPACE)),
  },
  rests: {
    restDoubleWhole: shape("M0 -1H.55V0H0Z"),
    restWhole: shape("M0 0H1.15V.52H0Z"),
    restHalf: shape("M0 -.52H1.15V0H0Z"),
    restQuarter: sign(0x1d13d, at(MIDDLE_LINE)),
    ...Object.fromEntries(values((value) => `rest${value}`, rest)),
  },
  articulations: {
    articAccentAbove: sign(0x1d17b, foot),
    articAccentBelow: sign(0x1d17b, top),
    articStaccatoAbove: sign(0x1d17c, foot),
    articStaccatoBelow: sign(0x1d17c, top),
    articTenutoAbove: sign(0x1d17d, foot),
    articTenutoBelow: sign(0x1d17d, top),
    articStaccatissimoAbove: turned(sign(0x1d17e, top)),
    articStaccatissimoBelow: sign(0x1d17e, top),
    articMarcatoAbove: turned(sign(0x1d17f, top)),
    articMarcatoBelow: sign(0x1d17f, top),
  },
  ornaments: {
    brassMuteClosed: shape("M.44 -1.08H.64V-.64H1.08V-.44H.64V0H.44V-.44H0V-.64H.44Z"),
    brassMuteOpen: shape(circle(0.54, -0.54, 0.54) + circle(0.54, -0.54, 0.4, 1)),
    fermataAbove: sign(0x1d110, foot),
    breathMarkComma: sign(0x1d112, foot),
    caesura: shape("M.85 -2.1L1.05 -2.1L.2 0L0 0ZM1.35 -2.1L1.55 -2.1L.7 0L.5 0Z"),
    ornamentTrill: sign(0x1d196, at(BASE)),
    ornamentTurn: sign(0x1d197, foot),
    ornamentShortTrill: shape(ZIGZAG),
    ornamentMordent: shape(`${ZIGZAG}M1.39 -1.28H1.51V.29H1.39Z`),
    segno: sign(0x1d10b, foot),
    coda: sign(0x1d10c, foot),
  },
  dynamics: {
    dynamicPiano: letter(0x1d18f, at(BASE)),
    dynamicMezzo: letter(0x1d190, at(BASE)),
    dynamicForte: letter(0x1d191, at(BASE)),
    dynamicRinforzando: letter(0x1d18c, at(BASE)),
    dynamicSforzando: letter(0x1d18d, at(BASE)),
    dynamicZ: letter(0x1d18e, at(BASE)),
    dynamicNiente: letter(0x6e, at(0), "italic", 0.5),
  },
  figures: {
    ...digits("timeSig", (code) => letter(code, halfway, "black", 0.68)),
    ...digits("tuplet", (code) => letter(code, at(0), "italic", 0.51)),
  },
};
