//! One number too large, too small or none at all, in the midst of good music.

use notation::Format;

use crate::Frame;

const HEADER: Frame = Frame {
    format: Format::Abc,
    before: "X:1\nT:Pier\n",
    after: "K:C\nV:1 name=\"Horn in F\" transpose=-7\nL:1/4\nG4 | A4 |]\n",
};
const MUSIC: Frame = Frame {
    format: Format::Abc,
    before: "X:1\nT:Pier\nM:4/4\nL:1/4\nK:C\nV:1 name=\"Horn in F\" transpose=-7\nG4 | ",
    after: " | A4 |]\n",
};
const SPINE: Frame = Frame {
    format: Format::Kern,
    before: "**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n=1\n1c\n=2\n",
    after: "\n=3\n1d\n==\n*-\n",
};
const MEASURES: Frame = Frame {
    format: Format::MusicXml,
    before: "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
        </part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats>\
        <beat-type>4</beat-type></time><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\
        <note><pitch><step>G</step><octave>4</octave></pitch><duration>4</duration></note></measure><measure number=\"2\">",
    after: "</measure><measure number=\"3\"><note><pitch><step>A</step><octave>4</octave></pitch><duration>4</duration></note>\
        </measure></part></score-partwise>\n",
};

/// Numbers that no score holds, or that are none. What the notation's grammar cannot take for a number is another case.
const LARGE: [&str; 4] = [
    "2147483647",
    "4294967296",
    "9223372036854775807",
    "99999999999999999999999999",
];

#[test]
fn abc_numbers() {
    let mut cases = 0;
    let mut hold = |frame: &Frame, put: &str, said: &str| {
        frame.hold(put, put, said);
        cases += 1;
    };
    for large in LARGE {
        hold(&HEADER, &format!("L:1/{large}\n"), "says nothing in L:");
        hold(&HEADER, &format!("L:{large}/1\n"), "says nothing in L:");
        hold(&HEADER, &format!("M:{large}/4\n"), "says nothing in M:");
        hold(&HEADER, &format!("M:4/{large}\n"), "says nothing in M:");
        hold(&HEADER, &format!("Q:1/4={large}\n"), "says nothing in Q:");
        hold(&HEADER, &format!("Q:{large}/4=80\n"), "says nothing in Q:");
        hold(&HEADER, &format!("Q:C{large}=80\n"), "says nothing in Q:");
        hold(&HEADER, &format!("Q:{large}\n"), "says nothing in Q:");
        hold(&HEADER, &format!("K:C octave={large}\n"), "octave=");
        hold(&MUSIC, &format!("c{large}"), "lasts longer");
        hold(&MUSIC, &format!("c/{large} d"), "lasts longer");
        hold(&MUSIC, &format!("z{large}"), "lasts longer");
        hold(&MUSIC, &format!("[ce]{large}"), "lasts longer");
        hold(&MUSIC, &format!("[c{large}e]"), "lasts longer");
        hold(&MUSIC, &format!("({large} c d e"), "tuplet");
        hold(&MUSIC, &format!("(3:{large}:3 c d e"), "tuplet");
        hold(&MUSIC, &format!("(3:2:{large} c d e"), "tuplet");
        hold(&MUSIC, &format!("Z{large}"), "longer than any");
        hold(&MUSIC, &format!("X{large}"), "longer than any");
        hold(&MUSIC, &format!("c [L:{large}/1] d"), "says nothing in L:");
        hold(&MUSIC, &format!("c [M:{large}/4] d"), "says nothing in M:");
        hold(
            &MUSIC,
            &format!("c [Q:1/4={large}] d"),
            "says nothing in Q:",
        );
        hold(
            &MUSIC,
            &format!("c [V:1 transpose={large}] d"),
            "transpose=",
        );
    }
    for (put, said) in [
        (format!("c{}", "'".repeat(300)), "no instrument has notes"),
        (format!("C{}", ",".repeat(300)), "no instrument has notes"),
        (format!("a{}b", ">".repeat(40)), "40 signs"),
        (format!("[{}]", "ceg".repeat(40)), "more than 64 notes"),
        (format!("c4 {}", "& e4 ".repeat(40)), "more than 16 lines"),
        (format!("c4 {} e4", "&".repeat(300)), "more than 16 lines"),
    ] {
        hold(&MUSIC, &put, said);
    }
    hold(&MUSIC, "c [V:1 transpose=-2147483648] d", "transpose=");
    hold(&MUSIC, "c [K:C octave=-128] d", "octave=");
    let meaning = format!("U: p = \"^{}\"\n", "x".repeat(300));
    hold(&HEADER, &meaning, "says nothing in U:");
    println!("{cases} values in ABC");
    assert_eq!(cases, 101);
}

#[test]
fn kern_numbers() {
    let mut cases = 0;
    let mut hold = |put: &str, said: &str| {
        SPINE.hold(put, put, said);
        cases += 1;
    };
    for large in LARGE {
        hold(&format!("{large}c"), "out of range for any note");
        hold(&format!("1%{large}c"), "out of range for any note");
        hold(&format!("4c\n*M{large}/4\n4d"), "is no metre");
        hold(&format!("4c\n*M4/{large}\n4d"), "is no metre");
        hold(&format!("4c\n*M{large}+{large}/0\n4d"), "is no metre");
        hold(&format!("*MM{large}\n4d"), "is no tempo");
        hold(&format!("*ITrd{large}c{large}\n4d"), "is no transposition");
        hold(&format!("*Trd-{large}c-{large}\n4d"), "is no transposition");
    }
    for (put, said) in [
        (format!("{}c", "0".repeat(40)), "out of range for any note"),
        (format!("4{}d", ".".repeat(40)), "out of range for any note"),
        (format!("4{}", "c".repeat(300)), "out of range for any note"),
        (format!("4{}", "C".repeat(300)), "out of range for any note"),
        (
            format!("4c{}", "#".repeat(300)),
            "out of range for any note",
        ),
        (
            format!("4c{}", "-".repeat(300)),
            "out of range for any note",
        ),
        (format!("4c{}", " 4e".repeat(80)), "more than 64 notes"),
        (format!("*clefG{}2\n4c", "v".repeat(300)), "is no clef"),
        (format!("*clefG{}2\n4c", "^".repeat(200)), "is no clef"),
    ] {
        hold(&put, said);
    }
    println!("{cases} values in Humdrum");
    assert_eq!(cases, 41);
}

#[test]
fn musicxml_numbers() {
    const NOTE: &str =
        "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>";
    let mut cases = 0;
    let mut hold = |put: &str, said: &str| {
        MEASURES.hold(put, put, said);
        cases += 1;
    };
    let pitched = |inside: &str| {
        format!("<note><pitch><step>C</step>{inside}</pitch><duration>4</duration></note>")
    };
    let attributes = |inside: &str| format!("<attributes>{inside}</attributes>{NOTE}");
    for large in LARGE {
        let duration = format!("<duration>{large}</duration>");
        // A number so large that it is none is no duration.
        let said = if large.len() < 10 || large == "2147483647" {
            "is longer than any can be"
        } else {
            "has no duration"
        };
        hold(&NOTE.replace("<duration>4</duration>", &duration), said);
        hold(&format!("<forward>{duration}</forward>{NOTE}"), said);
        hold(
            &format!("{NOTE}<backup>{duration}</backup>"),
            if said == "has no duration" {
                said
            } else {
                "backup"
            },
        );
        hold(
            &attributes(&format!("<divisions>{large}</divisions>")),
            "divides no quarter note",
        );
        hold(
            &attributes(&format!(
                "<time><beats>{large}+{large}</beats><beat-type>1</beat-type></time>"
            )),
            "is no metre",
        );
        hold(
            &attributes(&format!(
                "<time><beats>4</beats><beat-type>{large}</beat-type></time>"
            )),
            "is no metre",
        );
        hold(
            &format!(
                "<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>{large}</per-minute>\
                 </metronome></direction-type></direction>{NOTE}"
            ),
            "can be played",
        );
        hold(
            &format!("<sound tempo=\"{large}\"/>{NOTE}"),
            "can be played",
        );
        hold(
            &attributes(&format!(
                "<transpose><chromatic>{large}</chromatic></transpose>"
            )),
            "is no transposition",
        );
        hold(
            &pitched(&format!("<alter>{large}</alter><octave>5</octave>")),
            "is no alteration",
        );
        hold(
            &pitched(&format!("<octave>{large}</octave>")),
            "is no octave",
        );
        hold(
            &NOTE.replace(
                "</duration>",
                &format!(
                    "</duration><notations><slur type=\"start\" number=\"{large}\"/></notations>"
                ),
            ),
            "slur's number",
        );
        hold(
            &[
                NOTE,
                &format!(
                    "<barline location=\"right\"><repeat direction=\"backward\" times=\"{large}\"/></barline>"
                ),
            ]
            .concat(),
            "more than 32 times",
        );
    }
    for part in ["diatonic", "octave-change"] {
        let put =
            format!("<transpose><chromatic>-7</chromatic><{part}>-2147483648</{part}></transpose>");
        hold(&attributes(&put), "is no transposition");
    }
    for (put, said) in [
        (
            attributes(
                "<clef><sign>G</sign><line>2</line><clef-octave-change>-128</clef-octave-change></clef>",
            ),
            "no clef is moved",
        ),
        (
            [NOTE, &NOTE.replace("<pitch>", "<chord/><pitch>").repeat(80)].concat(),
            "more than 64 notes",
        ),
        (
            (0..40)
                .map(|voice| {
                    NOTE.replace("</duration>", &format!("</duration><voice>{voice}</voice>"))
                })
                .collect(),
            "more than 16 voices",
        ),
        (format!("<direction>{}", "<a>".repeat(300)), "64 deep"),
        (
            NOTE.replace(
                "<note>",
                &format!(
                    "<note {}>",
                    (0..300).map(|n| format!("a{n}=\"\" ")).collect::<String>()
                ),
            ),
            "more than 100 attributes",
        ),
    ] {
        hold(&put, said);
    }
    println!("{cases} values in MusicXML");
    assert_eq!(cases, 59);
}
