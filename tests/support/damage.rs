//! Texts damaged at random, the same way for the same seed.

use fastrand::Rng;
use notation::Format;

/// What may be typed into a text of a notation, or be left of something: each word of it, and numbers beyond all measure.
#[must_use]
pub const fn words(format: Format) -> &'static [&'static str] {
    match format {
        Format::Abc => &ABC,
        Format::Kern => &KERN,
        Format::MusicXml => &MUSICXML,
    }
}

const ABC: [&str; 76] = [
    "c",
    "^f",
    "_B,",
    "=",
    "^^",
    "2",
    "/",
    "//",
    "3/2",
    "-",
    ">",
    ">>>>",
    "<",
    "(",
    ")",
    "(3",
    "(3:2:5",
    "(999:0:4294967296",
    "[",
    "]",
    "[CEG]",
    "[c-e-]",
    "{",
    "}",
    "{/ab}",
    "|",
    ":|",
    "|:",
    "::",
    "|]",
    "[|]",
    "|1",
    "|1,3-99999999999",
    "&",
    "&&&",
    "z4",
    "Z3",
    "Z999999999",
    "x",
    "y",
    "\"",
    "\"^open\"",
    "\"^con sord.\"",
    "\"_a2\"",
    "!",
    "!f!",
    "!+!",
    "!open!",
    "!<(!",
    "!trill!",
    "%",
    "\\",
    "\n",
    "\n\n",
    "\r\n",
    "\r",
    "K:D\n",
    "[K:Eb]",
    "[K:clef=bass octave=-2]",
    "[V:2]",
    "V:2 name=\"Horn in E\" transpose=-8\n",
    "V:99999999999 transpose=2147483647\n",
    "X:9\nK:C\n",
    "L:1/16\n",
    "[L:9223372036854775807/1]",
    "M:3/8\n",
    "[M:4294967295/1]",
    "Q:1/4=999999999999\n",
    "U: p = \"^+\"\n",
    "c2147483647",
    "c,,,,,,,,,,,,,,,,",
    "é",
    "♭",
    "\n% bellhand: ignore range/too-high\n",
    "\n% bellhand: part 1 is horn in F\n",
    "w: la la\n",
];

const KERN: [&str; 66] = [
    "\t",
    "\n",
    "\r\n",
    "\r",
    ".",
    "4c",
    "8.ee-",
    "2r",
    "00r",
    "1%9999999999c",
    "9223372036854775807c",
    "qqd",
    "[4cc",
    "4cc_",
    "4c]",
    "(",
    ")",
    ";",
    "'",
    "^",
    "#",
    "-",
    "n",
    "X",
    "yy",
    "*",
    "*^",
    "*v",
    "*v\t*v",
    "*-",
    "*+",
    "*x",
    "**kern",
    "**dynam",
    "**text",
    "\n**kern\n",
    "*I\"Horn in F",
    "*I\"Corno in Dis",
    "*Icor",
    "*ITrd4c7",
    "*ITrd-4c-7",
    "*Trd9999999c-9999999",
    "*k[b-e-]",
    "*k[]",
    "*clefG2",
    "*clefF4",
    "*clefGvvvvvvvvv2",
    "*M3/4",
    "*M4294967295/0",
    "*MM96",
    "*MM99999999999",
    "*MX",
    "\n=5\n",
    "=4294967295",
    "==",
    "=:|!|:",
    "!",
    "!!",
    "!!!OTL: Pier",
    "!LO:TX:a:t=con sord.",
    "!LO:TX:t=",
    "f <",
    "pp >]",
    "!! bellhand: ignore range/too-high",
    "!! bellhand: part 1 is horn in D",
    "\n*-\t*-\n",
];

const MUSICXML: [&str; 68] = [
    "<",
    ">",
    "/",
    "\"",
    "&",
    "&amp;",
    "&#0;",
    "&#x110000;",
    "&who;",
    "<!--",
    "-->",
    "<!-- a -->",
    "<![CDATA[",
    "]]>",
    "<?",
    "?>",
    "\n",
    "\r",
    "é",
    "<note>",
    "</note>",
    "<note><rest/><duration>4</duration></note>",
    "<chord/>",
    "<grace/>",
    "<cue/>",
    "<pitch><step>C</step><octave>5</octave></pitch>",
    "<step>H</step>",
    "<alter>1</alter>",
    "<alter>1e308</alter>",
    "<octave>99</octave>",
    "<duration>2147483647</duration>",
    "<duration>-1</duration>",
    "<duration>0.3</duration>",
    "<divisions>12</divisions>",
    "<divisions>99999999999999999999</divisions>",
    "<backup><duration>999</duration></backup>",
    "<forward><duration>8</duration><voice>2</voice></forward>",
    "</measure>",
    "<measure number=\"9\">",
    "<measure number=\"4294967295\">",
    "<part id=\"P1\">",
    "</part>",
    "</score-partwise>",
    "<score-timewise>",
    "<score-part id=\"P9\"><part-name>Horn in E</part-name></score-part>",
    "<attributes>",
    "</attributes>",
    "<key><fifths>-3</fifths></key>",
    "<key><fifths>2147483647</fifths></key>",
    "<time><beats>4294967295+1</beats><beat-type>4</beat-type></time>",
    "<time><senza-misura/></time>",
    "<clef><sign>F</sign><line>4</line><clef-octave-change>-128</clef-octave-change></clef>",
    "<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>",
    "<transpose><chromatic>1e300</chromatic></transpose>",
    "<direction><direction-type><words>con sord.</words></direction-type></direction>",
    "<words>a2</words>",
    "<sound tempo=\"1e308\"/>",
    "<dynamics><pp/></dynamics>",
    "<tie type=\"start\"/>",
    "<notations><slur type=\"start\" number=\"255\"/></notations>",
    "<notations><technical><stopped/></technical></notations>",
    "<staff>99999999999</staff>",
    "<voice>7</voice>",
    "<barline location=\"left\"><repeat direction=\"forward\"/></barline>",
    "<concert-score/>",
    "<!-- bellhand: ignore range/too-high -->",
    "<!-- bellhand: part P1 is horn in D -->",
    "<a><a><a><a><a><a><a><a>",
];

/// Damages bytes once or a few times, in one of the ways that programs, hands and wires do.
#[must_use]
pub fn damaged(text: &str, format: Format, rng: &mut Rng) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..rng.usize(1..=6) {
        once(&mut bytes, format, rng);
    }
    bytes
}

fn once(bytes: &mut Vec<u8>, format: Format, rng: &mut Rng) {
    let at = rng.usize(..=bytes.len());
    let end = (at + rng.usize(..=200)).min(bytes.len());
    match rng.u8(..14) {
        0 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 1 << rng.u8(..8);
            }
        }
        1 => bytes.truncate(at),
        2 => {
            bytes.drain(at..end);
        }
        3 => {
            let again = bytes[at..end].to_vec();
            bytes.splice(at..at, again);
        }
        4..=6 => lines(bytes, rng),
        // Seldom, since no more of it is read.
        7 if rng.u8(..8) == 0 => bytes.insert(at, 0),
        // Not UTF-8, so Latin-1.
        8 if rng.u8(..4) == 0 => bytes.insert(at, rng.u8(0x80..)),
        9 => line_ends(bytes, rng),
        _ => {
            let words = words(format);
            let word = words[rng.usize(..words.len())];
            bytes.splice(at..at, word.bytes());
        }
    }
}

/// Loses a line, doubles one, or swaps two.
fn lines(bytes: &mut Vec<u8>, rng: &mut Rng) {
    let mut lines: Vec<&[u8]> = bytes.split_inclusive(|byte| *byte == b'\n').collect();
    if lines.is_empty() {
        return;
    }
    let (one, other) = (rng.usize(..lines.len()), rng.usize(..lines.len()));
    match rng.u8(..3) {
        0 => {
            lines.remove(one);
        }
        1 => lines.insert(other, lines[one]),
        _ => lines.swap(one, other),
    }
    *bytes = lines.concat();
}

/// Ends some lines in another way.
fn line_ends(bytes: &mut Vec<u8>, rng: &mut Rng) {
    let ends: [&[u8]; 4] = [b"\n", b"\r\n", b"\r", b"\n\r"];
    let mut mixed = Vec::with_capacity(bytes.len());
    for &byte in bytes.iter() {
        if byte == b'\n' {
            mixed.extend_from_slice(ends[rng.usize(..ends.len())]);
        } else {
            mixed.push(byte);
        }
    }
    *bytes = mixed;
}
