//! For each rule the faults that it must find, and nothing else.

use std::ops::RangeInclusive;

use notation::Format;

use super::sheet::{GROUP, REST, Sheet, Stand};

/// What puts a fault into a group of a sheet.
type Seed = Box<dyn Fn(&mut Sheet, usize)>;

/// A known fault.
pub(crate) struct Fault {
    pub(crate) rule: &'static str,
    /// The notations that can say it.
    pub(crate) formats: &'static [Format],
    /// Whether it is put into parts for natural horns.
    pub(crate) natural: bool,
    /// Puts it into a group of a clean sheet.
    pub(crate) seed: Seed,
    /// The text of the settings by which it is one.
    pub(crate) settings: &'static str,
    /// Bars from the group's first at which the rule must speak; none when it speaks of the part's head.
    pub(crate) speaks: Option<RangeInclusive<usize>>,
}

/// Rules that may speak beside a seeded one: the seeded rule, the other, and the reason.
pub(crate) const COMPANIONS: &[(&str, &str, &str)] = &[(
    "stopped/unreachable",
    "range/too-low",
    "what is too low for any stopped fingering lies below the horn's ordinary notes too",
)];

const EVERYWHERE: &[Format] = &Format::ALL;

/// A fault in the bars of one player.
pub(super) fn bars(rule: &'static str, stand: usize, at: usize, bars: &[&'static str]) -> Fault {
    between(rule, stand, at..=at, bars.to_vec())
}

/// A fault of which the rule may speak at any of some bars.
pub(super) fn between(
    rule: &'static str,
    stand: usize,
    at: RangeInclusive<usize>,
    bars: Vec<&'static str>,
) -> Fault {
    Fault {
        rule,
        formats: EVERYWHERE,
        natural: false,
        settings: "",
        seed: Box::new(move |sheet, group| sheet.put(stand, group, &bars)),
        speaks: Some(at),
    }
}

/// A fault in the parts' heads.
fn head(rule: &'static str, seed: impl Fn(&mut Sheet) + 'static) -> Fault {
    Fault {
        rule,
        formats: EVERYWHERE,
        natural: false,
        settings: "",
        seed: Box::new(move |sheet, _| seed(sheet)),
        speaks: None,
    }
}

/// Bars of rest between two bars.
pub(super) fn apart(before: &'static str, rests: usize, after: &'static str) -> Vec<&'static str> {
    let mut bars = vec![before];
    bars.extend(std::iter::repeat_n(REST, rests));
    bars.extend([after, REST]);
    bars
}

/// All faults.
pub(crate) fn all() -> Vec<Fault> {
    let mut all = on_the_page();
    all.extend(of_range_and_hand());
    all.extend(of_mute_rip_and_bell());
    all.extend(of_line_and_strength());
    all.extend(of_the_section());
    all.extend(super::among_others::all());
    all
}

fn on_the_page() -> Vec<Fault> {
    let mut accidental = bars("notation/unclear-accidental", 0, 0, &["^F8 A8 d8 f8"]);
    // Its own line says something else again.
    let mut other = bars("notation/unclear-accidental", 0, 0, &["^g8 _G8 c8 g8"]);
    for fault in [&mut accidental, &mut other] {
        fault.formats = &[Format::Abc, Format::MusicXml];
    }
    vec![
        head("notation/key-signature", |sheet| sheet.stands[0].key = -2),
        head("notation/no-transposition", |sheet| {
            sheet.stands[0].records = None;
        }),
        head("notation/wrong-transposition", |sheet| {
            sheet.stands[1].records = Some(-2);
        }),
        head("notation/unnamed-crook", |sheet| {
            sheet.call(["Horn 1", "Horn 2 in F"]);
        }),
        head("notation/unnamed-crook", |sheet| {
            sheet.call(["Horn 1 in F", "Horn 2"]);
            sheet.stands[1].records = Some(-9);
        }),
        head("notation/no-horn", |sheet| {
            sheet.call(["Oboe 1", "Oboe 2"]);
            for stand in &mut sheet.stands {
                stand.records = None;
            }
        }),
        bars("notation/respelled", 0, 0, &["G8 ^c8 _d8 G8"]),
        bars(
            "notation/clef-changes",
            1,
            1,
            &[
                "[K:clef=bass] C,16 C,16",
                "[K:clef=treble] C16 E16",
                "[K:clef=bass] C,32",
                "[K:clef=treble] E32",
                "[K:clef=bass] C,32",
                "[K:clef=treble] G32",
                REST,
                REST,
            ],
        ),
        bars("notation/awkward-spelling", 0, 0, &["G8 _c8 G8 E8"]),
        bars("notation/awkward-spelling", 0, 1, &["G32", "c8 ^^f8 c16"]),
        accidental,
        other,
        bars(
            "notation/clef",
            1,
            0,
            &["[K:clef=tenor] C16 E16", "[K:clef=treble] G32"],
        ),
        bars("notation/ledger-lines", 1, 0, &["C,8 B,,8 A,,8 B,,8"]),
        bars(
            "notation/bass-clef-convention",
            1,
            0,
            &["[K:clef=bass] C,,16 C,16", "[K:clef=treble] G32"],
        ),
        Fault {
            settings: "[names]\nsingle = \"Corno {number} in {crook}\"\nnumerals = \"roman\"\ne-flat = \"Mi♭\"\n",
            ..head("part/house-name", |sheet| {
                sheet.call(["Horn 1 in F", "Horn 2 in F"]);
            })
        },
        Fault {
            settings: "[words]\nboth = \"a2\"\nfirst = \"1.\"\nsecond = \"2.\"\n",
            seed: Box::new(|sheet, group| {
                sheet.call(["Horns 1.2. in F", "Horns 3.4. in F"]);
                let calls = [
                    "\"^zu 2\" c16 e16",
                    "\"^I.\" g16 e16",
                    "\"^II. solo\" c16 e16",
                ];
                sheet.put(0, group, &calls);
                for stand in &mut sheet.stands {
                    stand.bars[0].insert_str(0, "\"^a2\" ");
                }
                let next = (group + 1) * GROUP;
                if let Some(next) = sheet.stands[0].bars.get_mut(next) {
                    next.insert_str(0, "\"^a2\" ");
                }
            }),
            ..between("marks/house-players", 0, 0..=2, Vec::new())
        },
        Fault {
            settings: "[page]\ncourtesy = \"next-bar\"\n",
            ..bars("notation/courtesy", 0, 1, &["^f8 e8 g16", "f8 e8 g16"])
        },
        Fault {
            settings: "[page]\npitch = \"sounding\"\n",
            // In Humdrum the notes are the sound.
            formats: &[Format::Abc, Format::MusicXml],
            ..head("notation/house-pitch", |_| {})
        },
        head("part/name", |sheet| sheet.call(["Horn in F", "Horn in F"])),
        between("part/no-cue", 0, 28..=28, apart("c32", 27, "!mf!e32")),
        bars("marks/string-words", 0, 0, &["\"^pizz.\" c8 e8 g16"]),
        bars(
            "marks/string-words",
            1,
            1,
            &["C8 E8 G16", "\"^sempre sul pont.\" E32"],
        ),
        head("marks/no-dynamic", |sheet| {
            let first = &mut sheet.stands[0].bars[0];
            *first = first.replace("!mf!", "");
        }),
        between("marks/no-dynamic", 0, 13..=13, apart("c32", 12, "e32")),
        bars("text/unreadable", 0, 1, &["G32", "c8 ? e8 c16"]),
        head("text/lesson", |sheet| {
            sheet.told = Some("expect range/too-high in bar 3");
        }),
        head("text/unknown-ignore", |sheet| {
            sheet.told = Some("ignore in file dolphins");
        }),
        Fault {
            settings: "[rules]\nrange = \"off\"\n",
            ..head("text/unknown-ignore", |sheet| {
                sheet.told = Some("ignore in file range/too-hihg: she can");
            })
        },
        head("text/unused-ignore", |sheet| {
            sheet.told = Some("ignore range/too-high, rip/too-few: so");
        }),
        head("text/unused-ignore", |sheet| {
            sheet.told = Some("ignore in file marks/vague");
        }),
    ]
}

fn of_range_and_hand() -> Vec<Fault> {
    vec![
        bars("range/too-high", 0, 0, &["c'16 e'16"]),
        bars("range/too-low", 1, 0, &["C,16 D,,16"]),
        bars(
            "range/weak-low",
            0,
            0,
            &["\"^solo\" C8 D8 E8 C8", "\"^tutti\" z32"],
        ),
        bars("range/soft-high", 0, 0, &["!pp!b16 a16"]),
        bars("range/edge", 0, 0, &["!f!b8 c'8 b8 c'8", "b8 c'8 b8 c'8"]),
        bars("range/wrong-seat", 1, 0, &["g8 b8 a8 g8"]),
        bars(
            "stopped/too-low",
            1,
            0,
            &["\"^stopped\" E8 C8 B,8 \"^open\" C8"],
        ),
        bars("stopped/no-open", 0, 0, &["\"^stopped\" e8 c8 z16"]),
        bars("stopped/no-open", 0, 1, &["c32", "!+!e8 c8 G16"]),
        bars("stopped/mark-clash", 0, 0, &["!+!!open!c16 z16"]),
        bars(
            "stopped/mark-clash",
            0,
            2,
            &[
                REST,
                REST,
                "\"^con sord.\" e8 c8 \"^stopped\" d8 e8",
                "\"^open\" z32",
                REST,
                "\"^senza sord.\" c32",
            ],
        ),
        bars(
            "stopped/no-time",
            0,
            0,
            &[
                "!open!c4 !+!c4 !open!c4 !+!c4 !open!c4 !+!c4 !open!c4 !+!c4",
                "!open!c32",
            ],
        ),
        bars(
            "stopped/no-time",
            0,
            0,
            &["!open!c2 !+!c2 !open!c2 !+!c2 !open!c8 z16"],
        ),
        Fault {
            seed: Box::new(|sheet, group| {
                sheet.stands[0].said = Some("horn in F, single B flat");
                sheet.put(0, group, &["\"^stopped\" e8 c8 \"^open\" c16"]);
            }),
            ..bars("stopped/single-b-flat", 0, 0, &[])
        },
        // A single B flat horn has a gap over its pedal notes.
        Fault {
            seed: Box::new(|sheet, group| {
                sheet.stands[1].said = Some("single B flat");
                sheet.put(1, group, &["C16 A,,16"]);
            }),
            ..bars("range/too-low", 1, 0, &[])
        },
        bars("stopped/tied-into", 0, 1, &["e32-", "!+!e32"]),
        bars(
            "stopped/tied-into",
            0,
            1,
            &["e32-", "\"^stopped\" e32", REST, "\"^open\" c32", REST],
        ),
        bars("stopped/needless-open", 0, 0, &["\"^open\" e8 c8 d8 e8"]),
        bars("stopped/needless-open", 0, 1, &["c32", "e8 !open!c8 d16"]),
        bars(
            "stopped/unreachable",
            1,
            0,
            &["\"^stopped\" F,,8 c8 c8 \"^open\" c8"],
        ),
    ]
}

fn of_mute_rip_and_bell() -> Vec<Fault> {
    vec![
        bars(
            "mute/other-kind",
            0,
            0,
            &[
                "\"^cup mute\" e8 c8 d8 e8",
                REST,
                REST,
                "\"^senza sord.\" c32",
                REST,
            ],
        ),
        bars(
            "mute/no-time",
            0,
            1,
            &[
                "e8 c8 d8 z8",
                "\"^con sord.\" e32",
                REST,
                REST,
                "\"^senza sord.\" c32",
                REST,
            ],
        ),
        bars("mute/not-removed", 0, 0, &["\"^con sord.\" e8 c8 d8 e8"]),
        bars("mute/already", 0, 0, &["\"^senza sord.\" e8 c8 d8 e8"]),
        Fault {
            seed: Box::new(|sheet, group| {
                let muted = "\"^con sord.\" e8 c8 d8 e8";
                let out = "\"^senza sord.\" z32";
                sheet.put(
                    0,
                    group,
                    &["c32", REST, REST, muted, "d32", out, REST, "c32"],
                );
                let from = group * GROUP;
                sheet.repeated = Some(from..from + 5);
            }),
            ..bars("marks/second-time", 0, 0, &[])
        },
        bars(
            "marks/vague",
            0,
            0,
            &[
                "\"^mute\" e8 c8 d8 e8",
                REST,
                REST,
                "\"^mute out\" c32",
                REST,
            ],
        ),
        Fault {
            settings: "[words]\nlanguage = \"german\"\nmute-in = [\"mit Dämpfer\", \"gedämpft\"]\n",
            ..between(
                "marks/house-words",
                0,
                0..=3,
                vec![
                    "\"^con sord., dolce\" e8 c8 d8 e8",
                    REST,
                    REST,
                    "\"^mute out\" c32",
                    REST,
                ],
            )
        },
        bars(
            "marks/language-mix",
            0,
            1,
            &[
                "\"^stopped\" c16 \"^open\" c16",
                "\"^gestopft\" c16 \"^offen\" c16",
            ],
        ),
        Fault {
            seed: Box::new(|sheet, group| {
                let marked = |stopped, open| [format!("\"^{stopped}\" c16 \"^{open}\" c16")];
                for (stand, words) in [marked("stopped", "open"), marked("gestopft", "offen")]
                    .iter()
                    .enumerate()
                {
                    sheet.put(stand, group, &[&words[0]]);
                }
            }),
            ..bars("marks/language-mix", 1, 0, &[])
        },
        bars("rip/off-series", 0, 0, &["\"^gliss.\" (G16 ^c16)"]),
        bars("rip/too-few", 1, 0, &["\"^gliss.\" (C16 E16)"]),
        bars("rip/too-fast", 0, 0, &["\"^gliss.\" (G2 g2) z4 z8 z16"]),
        bars("rip/downward", 0, 0, &["\"^gliss.\" (g16 G16)"]),
        bars("rip/unmarked", 0, 0, &["\"^gliss.\" G16 z16", "g32"]),
        bars(
            "bell/stopped",
            0,
            0,
            &["\"^bells up\" e8 c8 !+!e16", "\"^bells down\" z32"],
        ),
        bars(
            "bell/not-lowered",
            0,
            0,
            &["\"^bells up\" !f!e16 c16", REST, "c32"],
        ),
        bars(
            "bell/no-time",
            0,
            1,
            &[
                "c8 e8 d8 c8",
                "\"^bells up\" g32",
                REST,
                "\"^bells down\" c32",
                REST,
            ],
        ),
    ]
}

fn of_line_and_strength() -> Vec<Fault> {
    let mut closed = bars("natural/closed-note", 0, 0, &["!f!c8 e8 d8 A8"]);
    closed.natural = true;
    let mut crook = bars(
        "natural/crook-change",
        0,
        2,
        &[
            "c8 e8 g16",
            "\"^muta in E\" z32",
            "[K:none transpose=-8] c8 e8 g16",
        ],
    );
    crook.natural = true;
    let mut cold = apart("c32", 39, "!mf!b16 a16");
    cold[20] = "\"^clarinets\" z32";
    let mut tired = vec!["a8 g8 a8 g8"; 9];
    tired.push(REST);
    let mut worn = vec!["!ff!e8 g8 c8 z8"; 60];
    worn.push(REST);
    vec![
        bars("line/leap", 0, 0, &["c4 b4 c4 b4 z16"]),
        between("line/cold-high", 0, 40..=40, cold),
        bars("line/wide-slur", 0, 0, &["(C16 a16)"]),
        bars("line/tremolo", 0, 0, &["(c2g2c2g2 c2g2c2g2) z16"]),
        bars(
            "tone/cannot-speak",
            0,
            0,
            &["\"^half-stopped\" !f!e8 c8 \"^open\" G16"],
        ),
        bars("tone/cannot-speak", 0, 0, &["\"^brassy\" !p!e8 c8 d16"]),
        bars(
            "tone/cannot-speak",
            1,
            0,
            &["\"^flutter-tongue\" F,8 C8 E16"],
        ),
        bars("line/trill", 1, 0, &["!trill!C32"]),
        bars("line/tongue-speed", 0, 0, &["c1c1c1c1 c1c1c1c1 c8 z16"]),
        bars(
            "line/low-agility",
            1,
            0,
            &[
                "[K:clef=bass] C,2B,,2A,,2B,,2 C,2B,,2A,,2B,,2 C,16",
                "[K:clef=treble] G32",
            ],
        ),
        bars(
            "line/awkward-valves",
            1,
            0,
            &["(^G,1^A,1^C1^A,1 ^G,1^A,1^C1^A,1) z8 z16"],
        ),
        between(
            "breath/no-place",
            0,
            7..=7,
            vec![
                "c32-", "c32-", "c32-", "c32-", "c32-", "c32-", "c32-", "c32-", "c32", REST,
            ],
        ),
        between("stamina/high-too-long", 0, 8..=8, tired),
        between("stamina/no-rest", 0, 20..=59, worn),
        closed,
        crook,
    ]
}

fn of_the_section() -> Vec<Fault> {
    let mut crossing = bars("section/crossing", 1, 0, &[]);
    crossing.seed = Box::new(|sheet, group| {
        sheet.put(0, group, &["C32", "D32", "C32"]);
        sheet.put(1, group, &["E32", "F32", "G32"]);
    });
    let mut unison = bars("section/unclear-unison", 0, 1, &[]);
    unison.seed = Box::new(|sheet, group| {
        sheet.call(["Horns 1.2. in F", "Horns 3.4. in F"]);
        sheet.put(0, group, &["[EG]16 [Gc]16", "E8 G8 c8 G8"]);
        sheet.stands[0].bars[0].insert_str(0, "\"^a2\" ");
        // After the fault the question is answered again.
        if let Some(next) = sheet.stands[0].bars.get_mut((group + 1) * GROUP) {
            next.insert_str(0, "\"^a2\" ");
        }
    });
    let mut wrong = bars("section/wrong-players", 0, 1, &[]);
    wrong.seed = Box::new(|sheet, group| {
        sheet.call(["Horns 1.2. in F", "Horns 3.4. in F"]);
        sheet.put(0, group, &["c8 G8 c8 G8", "\"^3.\" c8 G8 c8 G8"]);
    });
    let mut balance = bars("section/balance", 0, 0, &[]);
    balance.seed = Box::new(|sheet, group| {
        let rests = vec![REST.to_owned(); sheet.stands[0].bars.len()];
        for name in ["Trumpet 1", "Trumpet 2"] {
            sheet.stands.push(Stand {
                name: name.to_owned(),
                records: None,
                said: None,
                key: 0,
                bars: rests.clone(),
            });
        }
        for stand in 0..4 {
            sheet.put(stand, group, &["!f!c16 e16", "e16 c16"]);
        }
    });
    vec![
        crossing,
        head("section/pairing", |sheet| {
            sheet.call(["Horns 1.3. in F", "Horn 2 in F"]);
        }),
        unison,
        wrong,
        bars("section/chord-for-one", 0, 1, &["G32", "[ce]16 G16"]),
        balance,
    ]
}
