//! The invented parts written in each notation.

use std::fmt::Write as _;

use notation::Format;

use super::sheet::Sheet;
use super::token::{Pitch, Token, interval, read};

/// The sheet in a notation.
pub(crate) fn write(sheet: &Sheet, format: Format) -> String {
    match format {
        Format::Abc => abc(sheet),
        Format::MusicXml => musicxml(sheet),
        Format::Kern => kern(sheet),
    }
}

/// What stands in a text that cannot be read.
pub(crate) const fn broken(format: Format) -> &'static str {
    match format {
        Format::Abc => "\"^solo ",
        Format::MusicXml => "X</step>",
        Format::Kern => "\u{16b}",
    }
}

/// What comments say of the parts, and besides.
fn said(sheet: &Sheet) -> impl Iterator<Item = String> {
    let stands = sheet.stands.iter();
    let of_parts = stands.filter_map(|stand| {
        let (name, said) = (&stand.name, stand.said?);
        Some(format!("bellhand: part \"{name}\" = {said}"))
    });
    of_parts.chain(sheet.told.map(|told| format!("bellhand: {told}")))
}

fn abc(sheet: &Sheet) -> String {
    let mut text =
        "%abc-2.1\nX:1\nT:The River Ferry Pier\nM:4/4\nL:1/32\nQ:1/4=96\nK:none\n".to_owned();
    for (place, stand) in sheet.stands.iter().enumerate() {
        write!(text, "V:{} name=\"{}\"", place + 1, stand.name).unwrap();
        if let Some(by) = stand.records {
            write!(text, " transpose={by}").unwrap();
        }
        text.push('\n');
    }
    for said in said(sheet) {
        writeln!(text, "% {said}").unwrap();
    }
    for (place, stand) in sheet.stands.iter().enumerate() {
        writeln!(text, "V:{}", place + 1).unwrap();
        if stand.key != 0 {
            text.push_str("[K:Bb] ");
        }
        for (number, bar) in stand.bars.iter().enumerate() {
            let (begins, ends) = sheet.turns(number);
            let (begin, end) = (
                if begins { "|: " } else { "" },
                if ends { ":|" } else { "|" },
            );
            let bar = bar.replace('?', broken(Format::Abc));
            if sheet.new_page == Some(number) {
                text.push_str("%%newpage\n");
            }
            writeln!(text, "{begin}{bar} {end}").unwrap();
        }
    }
    text
}

const FORWARD: &str = "<barline location=\"left\"><repeat direction=\"forward\"/></barline>\n";
const BACKWARD: &str = "<barline location=\"right\"><repeat direction=\"backward\"/></barline>\n";

fn musicxml(sheet: &Sheet) -> String {
    let mut text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">\n<part-list>\n".to_owned();
    for (place, stand) in sheet.stands.iter().enumerate() {
        let name = &stand.name;
        writeln!(
            text,
            "<score-part id=\"P{place}\"><part-name>{name}</part-name></score-part>"
        )
        .unwrap();
    }
    text.push_str("</part-list>\n");
    for said in said(sheet) {
        writeln!(text, "<!-- {said} -->").unwrap();
    }
    for (place, stand) in sheet.stands.iter().enumerate() {
        writeln!(text, "<part id=\"P{place}\">").unwrap();
        let mut held = false;
        for (number, bar) in stand.bars.iter().enumerate() {
            writeln!(text, "<measure number=\"{}\">", number + 1).unwrap();
            if sheet.new_page == Some(number) {
                text.push_str("<print new-page=\"yes\"/>\n");
            }
            if number == 0 {
                let key = stand.key;
                let transpose = stand.records.map(transposition).unwrap_or_default();
                writeln!(
                    text,
                    "<attributes><divisions>8</divisions><key><fifths>{key}</fifths></key><time><beats>4</beats>\
                     <beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>{transpose}</attributes>\n\
                     <direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>96</per-minute>\
                     </metronome></direction-type></direction>"
                )
                .unwrap();
            }
            let (begins, ends) = sheet.turns(number);
            text.push_str(if begins { FORWARD } else { "" });
            measure(&mut text, &read(bar), &mut held);
            text.push_str(if ends { BACKWARD } else { "" });
            text.push_str("</measure>\n");
        }
        text.push_str("</part>\n");
    }
    text + "</score-partwise>\n"
}

fn transposition(semitones: i32) -> String {
    let (steps, semitones) = interval(semitones);
    format!("<transpose><diatonic>{steps}</diatonic><chromatic>{semitones}</chromatic></transpose>")
}

fn measure(text: &mut String, tokens: &[Token], held: &mut bool) {
    let mut technical = String::new();
    for token in tokens {
        match token {
            Token::Words(words) => {
                writeln!(text, "<direction><direction-type><words>{words}</words></direction-type></direction>").unwrap();
            }
            Token::Sign(sign) => match sign.as_str() {
                "+" => technical.push_str("<technical><stopped/></technical>"),
                "open" => technical.push_str("<technical><open/></technical>"),
                "trill" => technical.push_str("<ornaments><trill-mark/></ornaments>"),
                dynamic => {
                    writeln!(text, "<direction><direction-type><dynamics><{dynamic}/></dynamics></direction-type></direction>")
                        .unwrap();
                }
            },
            Token::Clef(clef) => {
                let (sign, line) = match clef.as_str() {
                    "bass" => ('F', 4),
                    "tenor" => ('C', 4),
                    _ => ('G', 2),
                };
                writeln!(text, "<attributes><clef><sign>{sign}</sign><line>{line}</line></clef></attributes>").unwrap();
            }
            Token::Transpose(by) => {
                writeln!(text, "<attributes>{}</attributes>", transposition(*by)).unwrap();
            }
            Token::Broken => text.push_str("<note><pitch><step>X</step><octave>4</octave></pitch><duration>8</duration></note>\n"),
            Token::Note { pitches, length, tied, slur_begins, slur_ends } => {
                if pitches.is_empty() {
                    writeln!(text, "<note><rest/><duration>{length}</duration></note>").unwrap();
                }
                for (place, pitch) in pitches.iter().enumerate() {
                    let chord = if place > 0 { "<chord/>" } else { "" };
                    write!(
                        text,
                        "<note>{chord}<pitch><step>{}</step><alter>{}</alter><octave>{}</octave></pitch><duration>{length}</duration>",
                        pitch.letter(),
                        pitch.alter,
                        pitch.octave()
                    )
                    .unwrap();
                    let mut notations = std::mem::take(&mut technical);
                    for (is, tag, kind) in [
                        (*held, "tie", "stop"),
                        (*tied, "tie", "start"),
                    ] {
                        if is {
                            write!(text, "<{tag} type=\"{kind}\"/>").unwrap();
                            write!(notations, "<tied type=\"{kind}\"/>").unwrap();
                        }
                    }
                    if pitch.signed {
                        let sign = match pitch.alter {
                            -1 => "flat",
                            1 => "sharp",
                            _ => "double-sharp",
                        };
                        write!(text, "<accidental>{sign}</accidental>").unwrap();
                    }
                    for (is, kind) in [(*slur_begins, "start"), (*slur_ends, "stop")] {
                        if is {
                            write!(notations, "<slur number=\"1\" type=\"{kind}\"/>").unwrap();
                        }
                    }
                    if !notations.is_empty() {
                        write!(text, "<notations>{notations}</notations>").unwrap();
                    }
                    text.push_str("</note>\n");
                }
                *held = *tied;
            }
        }
    }
}

fn kern(sheet: &Sheet) -> String {
    let stands = sheet.stands.len();
    let mut lines: Vec<String> = said(sheet).map(|said| format!("!! {said}")).collect();
    let mut row = |cells: &dyn Fn(usize) -> [String; 2]| {
        let cells: Vec<String> = (0..stands).flat_map(cells).collect();
        lines.push(cells.join("\t"));
    };
    let both = |cell: &str| [cell.to_owned(), cell.to_owned()];
    let first = |cell: String| [cell, "*".to_owned()];
    let mut by: Vec<(i32, i32)> = sheet
        .stands
        .iter()
        .map(|stand| interval(stand.records.unwrap_or(0)))
        .collect();
    row(&|_| ["**kern".into(), "**dynam".into()]);
    row(&|at| first(format!("*I\"{}", sheet.stands[at].name)));
    row(&|_| first("*clefG2".into()));
    row(&|at| {
        first(
            sheet.stands[at]
                .records
                .map_or("*".into(), |by| itr(interval(by))),
        )
    });
    row(&|at| first(key(sheet.stands[at].key + 7 * by[at].1 - 12 * by[at].0)));
    row(&|_| first("*M4/4".into()));
    row(&|_| first("*MM96".into()));
    let mut held = vec![false; stands];
    let bars = sheet
        .stands
        .iter()
        .map(|stand| stand.bars.len())
        .max()
        .unwrap_or(0);
    for bar in 0..bars {
        let begin = if sheet.turns(bar).0 { "!|:" } else { "" };
        let end = if bar > 0 && sheet.turns(bar - 1).1 {
            ":|!"
        } else {
            ""
        };
        row(&|_| both(&format!("={}{end}{begin}", bar + 1)));
        let tokens: Vec<Vec<Token>> = sheet
            .stands
            .iter()
            .map(|stand| read(&stand.bars[bar]))
            .collect();
        let mut place = vec![0; stands];
        let mut due = vec![0; stands];
        for tick in 0..32 {
            let mut data = vec![[".".to_owned(), ".".to_owned()]; stands];
            for at in 0..stands {
                let mut within = String::new();
                while due[at] == tick && place[at] < tokens[at].len() {
                    let only = |cell: String, none: &'static str| {
                        move |other: usize| {
                            if other == at {
                                [cell.clone(), none.to_owned()]
                            } else {
                                [none.to_owned(), none.to_owned()]
                            }
                        }
                    };
                    match &tokens[at][place[at]] {
                        Token::Words(words) => row(&only(format!("!LO:TX:a:t={words}"), "!")),
                        Token::Sign(sign) => match sign.as_str() {
                            "+" => row(&only("!LO:TX:a:t=+".into(), "!")),
                            "open" => row(&only("!LO:TX:a:t=o".into(), "!")),
                            "trill" => within.push('T'),
                            dynamic => dynamic.clone_into(&mut data[at][1]),
                        },
                        Token::Clef(clef) => {
                            let clef = match clef.as_str() {
                                "bass" => "F4",
                                "tenor" => "C4",
                                _ => "G2",
                            };
                            row(&only(format!("*clef{clef}"), "*"));
                        }
                        Token::Transpose(semitones) => {
                            by[at] = interval(*semitones);
                            row(&only(itr(by[at]), "*"));
                            row(&only(key(7 * by[at].1 - 12 * by[at].0), "*"));
                        }
                        Token::Broken => within.push('\u{16b}'),
                        Token::Note {
                            pitches,
                            length,
                            tied,
                            slur_begins,
                            slur_ends,
                        } => {
                            data[at][0] = cell(
                                pitches,
                                *length,
                                by[at],
                                (held[at], *tied),
                                (*slur_begins, *slur_ends),
                            ) + &within;
                            held[at] = *tied;
                            due[at] += length;
                            within.clear();
                        }
                    }
                    place[at] += 1;
                }
            }
            if data.iter().flatten().any(|cell| cell != ".") {
                row(&|at| data[at].clone());
            }
        }
    }
    row(&|_| both("=="));
    row(&|_| both("*-"));
    if let Some(bar) = sheet.new_page {
        let begins = format!("={}\t", bar + 1);
        let barline = lines.iter().position(|line| line.starts_with(&begins));
        lines.insert(barline.unwrap(), "!!LO:PB:g=original".to_owned());
    }
    lines.join("\n") + "\n"
}

fn itr((steps, semitones): (i32, i32)) -> String {
    format!("*ITrd{}c{}", -steps, -semitones)
}

fn key(fifths: i32) -> String {
    let count = fifths.unsigned_abs() as usize;
    let list: String = if fifths < 0 {
        "beadgcf"
            .chars()
            .take(count)
            .map(|letter| format!("{letter}-"))
            .collect()
    } else {
        "fcgdaeb"
            .chars()
            .take(count)
            .map(|letter| format!("{letter}#"))
            .collect()
    };
    format!("*k[{list}]")
}

fn cell(
    pitches: &[Pitch],
    length: u32,
    by: (i32, i32),
    (held, tied): (bool, bool),
    (slur_begins, slur_ends): (bool, bool),
) -> String {
    let dots = if length.is_power_of_two() { "" } else { "." };
    let plain = if dots.is_empty() {
        length
    } else {
        length * 2 / 3
    };
    let duration = format!("{}{dots}", 32 / plain);
    if pitches.is_empty() {
        return format!("{duration}r");
    }
    let notes: Vec<String> = pitches
        .iter()
        .map(|pitch| {
            let there = pitch.moved(by);
            let letter = there.letter();
            let name = if there.octave() >= 4 {
                letter
                    .to_ascii_lowercase()
                    .to_string()
                    .repeat((there.octave() - 3) as usize)
            } else {
                letter.to_string().repeat((4 - there.octave()) as usize)
            };
            let sign =
                if there.alter < 0 { "-" } else { "#" }.repeat(there.alter.unsigned_abs() as usize);
            let (begins, ends) = match (held, tied) {
                (false, true) => ("[", ""),
                (true, true) => ("", "_"),
                (true, false) => ("", "]"),
                (false, false) => ("", ""),
            };
            let (open, close) = (
                if slur_begins { "(" } else { "" },
                if slur_ends { ")" } else { "" },
            );
            format!("{open}{begins}{duration}{name}{sign}{ends}{close}")
        })
        .collect();
    notes.join(" ")
}
