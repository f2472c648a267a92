//! What judging costs, counted and not timed: four times the music is looked at no more than four times as often, by
//! every rule, in every notation.

#![cfg(debug_assertions)]

use std::collections::BTreeMap;

use engine::{Judged, Settings};
use notation::{Document, Format};
use reading::{HornPart, PieceReading};
use rules::{Check, IgnoreContext, LooksAt, PieceContext, Rule, ScoreContext};
use score::{Span, looked_at};

use crate::seeded::sheet::Sheet;
use crate::seeded::{faults, write};

/// How often the bars of a small score are repeated, of one twice as long and of one four times as long.
const LENGTHS: [usize; 3] = [2, 4, 8];

/// Bars for one player that stay in one state from the first to the last, where a rule that looks back looks furthest.
const ENDLESS: [(&str, &[&str]); 12] = [
    ("one breath", &["c8 e8 d8 c8"]),
    ("soft and high", &["!pp!b8 a8 b8 a8", "b8 a8 b8 a8"]),
    (
        "a low solo",
        &["\"^solo\" B,8 C8 B,8 A,8", "B,8 C8 B,8 A,8"],
    ),
    ("loud and low", &["!f!E,8 D,8 E,8 D,8"]),
    (
        "stopped low, said again and again",
        &["\"^stopped\" A,8 G,8 A,8 G,8"],
    ),
    ("stopped by signs", &["!+!c8 d8 !+!c8 d8"]),
    (
        "hand and mute",
        &[
            "\"^con sord.\" e8 c8 \"^stopped\" d8 e8 \"^open\" z8",
            "\"^senza sord.\" c32",
        ],
    ),
    ("mutes without in or out", &["\"^mute\" e8 c8 d8 e8"]),
    (
        "rips on and on",
        &["\"^gliss.\" (G8 ^c8) \"^gliss.\" (C8 E8)"],
    ),
    ("quick leaps", &["c4 b4 c4 b4 c4 b4 c4 b4"]),
    ("signs in other octaves", &["^F8 f8 ^f8 F8"]),
    ("tied on and on", &["c16- c16-"]),
];

/// The sheets that are judged: each known fault again and again, and states that never end.
fn sheets() -> Vec<(String, Sheet)> {
    let mut sheets = Vec::new();
    for (place, fault) in faults::all().into_iter().enumerate() {
        let mut sheet = if fault.natural {
            Sheet::natural(1)
        } else {
            Sheet::clean(1)
        };
        (fault.seed)(&mut sheet, 2);
        sheets.push((format!("{} ({place})", fault.rule), sheet));
    }
    for (what, bars) in ENDLESS {
        let mut sheet = Sheet::clean(1);
        for stand in &mut sheet.stands {
            let bars = bars.iter().cycle().take(stand.bars.len());
            stand.bars = bars.map(|bar| (*bar).to_owned()).collect();
        }
        sheets.push((what.to_owned(), sheet));
    }
    sheets
}

fn repeated(sheet: &Sheet, times: usize) -> Sheet {
    let mut sheet = sheet.clone();
    for stand in &mut sheet.stands {
        let many = stand.bars.len() * times;
        stand.bars = stand.bars.iter().cycle().take(many).cloned().collect();
    }
    sheet
}

/// How many notes, marks and other events a rule looks at to judge a document as it was read.
fn cost(rule: &Rule, judged: &Judged) -> u64 {
    let house = &judged.settings().house;
    let score = judged.document().score();
    let pieces: Vec<(usize, &PieceReading)> = judged.pieces().collect();
    let before = looked_at();
    let mut said = 0;
    for check in rule.checks {
        for (_, reading) in &pieces {
            let players = reading.horns.iter().flat_map(HornPart::players);
            let parts: Vec<&HornPart> = match check.looks_at() {
                Some(LooksAt::Staff) => reading.horns.iter().collect(),
                Some(LooksAt::Player) => players.collect(),
                None => Vec::new(),
            };
            for part in parts {
                said += check.judge(reading, part, house).len();
            }
            if let Check::Piece(check) = check {
                said += check(&PieceContext { reading, house }).len();
            }
        }
        match check {
            Check::Score(check) => {
                said += check(&ScoreContext {
                    pieces: &pieces,
                    directives: &score.directives,
                    unreadable: &score.unreadable,
                    house,
                })
                .len();
            }
            // It looks at an instruction alone, and at no music.
            Check::Ignores(check) => {
                said += check(&IgnoreContext {
                    span: Span::default(),
                    in_file: false,
                    rules: &[],
                })
                .len();
            }
            Check::Part(_)
            | Check::Player(_)
            | Check::PartAmong(_)
            | Check::PlayerAmong(_)
            | Check::Piece(_)
            | Check::Findings(_) => {}
        }
    }
    assert!(said < usize::MAX);
    looked_at() - before
}

#[test]
fn every_rule_looks_at_four_times_the_music_four_times_as_often() {
    let settings = Settings::default();
    let mut most: BTreeMap<&str, [u64; 3]> = BTreeMap::new();
    let mut wrong = Vec::new();
    let (mut judged, mut looked) = (0, 0);
    for (what, sheet) in sheets() {
        for format in Format::ALL {
            let read = LENGTHS.map(|times| {
                let text = write::write(&repeated(&sheet, times), format);
                let document = Document::from_text(format, &text);
                Judged::new(document, settings.clone())
            });
            for rule in rules::ALL {
                let costs = [0, 1, 2].map(|length| cost(rule, &read[length]));
                let [few, _, many] = costs;
                judged += 1;
                looked += many;
                let seen = most.entry(rule.name).or_default();
                if many > seen[2] {
                    *seen = costs;
                }
                // A score's beginning and end cost what they cost, whatever its length.
                if many > 5 * few + 64 {
                    wrong.push(format!(
                        "{} on \"{what}\" in {}: {few} looks, then {many}",
                        rule.name,
                        format.name()
                    ));
                }
            }
        }
    }
    println!("| rule | n | 2n | 4n | 4n to n |");
    for (rule, [few, twice, many]) in &most {
        let ratio = *many as f64 / (*few).max(1) as f64;
        println!("| `{rule}` | {few} | {twice} | {many} | {ratio:.2} |");
    }
    println!("{judged} judgements, {looked} looks");
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(looked > judged as u64);
    assert_eq!(
        judged,
        sheets().len() * Format::ALL.len() * rules::ALL.len()
    );
    // Notes are looked at: the count is not silent.
    assert!(
        most["range/too-high"][2] > 100,
        "{:?}",
        most["range/too-high"]
    );
}
