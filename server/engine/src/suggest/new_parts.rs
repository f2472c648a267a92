//! Whole new horn parts, for a text that has no music yet.

use horn::Crook;
use notation::Format;

use super::Suggestion;
use super::names::named;
use crate::{House, Judged};

/// How many horns a new piece may have.
const HORNS: [u8; 3] = [1, 2, 4];

/// The longest word that may have been begun, in bytes.
const LONGEST: usize = 12;

/// New pieces, where the text has none at a byte; `line` and `rest` are its line before and behind it.
pub(super) fn offered(
    judged: &Judged,
    line: &str,
    rest: &str,
    byte: usize,
) -> Option<Vec<Suggestion>> {
    let word = line.len() <= LONGEST && line.chars().all(|sign| sign.is_ascii_alphabetic());
    if !word || !rest.trim().is_empty() || !is_free(judged, line, byte) {
        return None;
    }
    let house = &judged.settings().house;
    let tune = judged.document().score().pieces.len() + 1;
    let new = HORNS.into_iter().map(|horns| {
        let names = names(house, horns);
        let text = match judged.document().format() {
            Format::Abc => abc(&names, tune),
            Format::Kern => kern(&names),
            Format::MusicXml => musicxml(&names),
        };
        let label = match horns {
            1 => "horn part".to_owned(),
            several => format!("horn parts for {several}"),
        };
        Suggestion {
            label: Some(format!("new {label}")),
            to_fill_in: true,
            ..Suggestion::plain(
                text,
                "A piece for horn in F: names, transposition, tempo, no key signature",
                byte - line.len()..byte,
            )
        }
    });
    Some(new.collect())
}

/// Whether no piece stands at a byte, nor anything but the word that is being written.
fn is_free(judged: &Judged, line: &str, byte: usize) -> bool {
    let document = judged.document();
    if document.format() == Format::Abc {
        let pieces = &document.score().pieces;
        return pieces
            .iter()
            .all(|placed| !placed.piece.span.shifted(placed.base).touches(byte));
    }
    let rope = document.rope();
    let begun = |sign: char| sign.is_whitespace() || line.contains(sign);
    rope.len_bytes() <= 4 * LONGEST && rope.chars().all(begun)
}

fn names(house: &House, horns: u8) -> Vec<String> {
    match horns {
        1 => vec![named(house, &[], Crook::F)],
        several => (1..=several)
            .map(|number| named(house, &[number], Crook::F))
            .collect(),
    }
}

fn abc(names: &[String], tune: usize) -> String {
    let mut text = format!("X:{tune}\nT:${{1:Title}}\nM:4/4\nL:1/8\nQ:1/4=${{2:96}}\nK:none\n");
    for (number, name) in (1..).zip(names) {
        text += &format!("V:{number} name=\"{name}\" transpose=-7\n");
    }
    let voices: Vec<String> = (1..=names.len())
        .map(|number| match number {
            1 => "V:1\n!mf! ${3:c8} |]$0\n".to_owned(),
            _ => format!("V:{number}\n!mf! c8 |]\n"),
        })
        .collect();
    text + &voices.concat()
}

/// Spines stand from the lowest part to the highest, each with its dynamics behind it.
fn kern(names: &[String]) -> String {
    let count = names.len();
    let row = |notes: &str, dynamics: &str| {
        let cells = vec![format!("{notes}\t{dynamics}"); count];
        cells.join("\t") + "\n"
    };
    let named: Vec<String> = names
        .iter()
        .rev()
        .map(|name| format!("*I\"{name}\t*"))
        .collect();
    let rows = [
        row("**kern", "**dynam"),
        named.join("\t") + "\n",
        row("*ITrd4c7", "*"),
        row("*clefG2", "*"),
        row("*M4/4", "*"),
        row("*MM${2:96}", "*"),
        row("=1", "=1"),
        row("1f", "mf"),
        row("==", "=="),
        row("*-", "*-"),
    ];
    let mut text = format!("!!!OTL: ${{1:Title}}\n{}", rows.concat());
    // The tempo of one part is all parts'; it is filled in once for all of them.
    text.truncate(text.trim_end().len());
    text + "$0\n"
}

fn musicxml(names: &[String]) -> String {
    let mut list = String::new();
    let mut parts = String::new();
    for (number, name) in (1..).zip(names) {
        list += &format!(
            "    <score-part id=\"P{number}\"><part-name>{name}</part-name></score-part>\n"
        );
        let tempo = match number {
            1 => concat!(
                "      <direction placement=\"above\">\n",
                "        <direction-type><metronome><beat-unit>quarter</beat-unit>",
                "<per-minute>${2:96}</per-minute></metronome></direction-type>\n",
                "        <sound tempo=\"${2:96}\"/>\n",
                "      </direction>\n",
            ),
            _ => "",
        };
        parts += &format!(
            concat!(
                "  <part id=\"P{}\">\n",
                "    <measure number=\"1\">\n",
                "      <attributes>\n",
                "        <divisions>2</divisions>\n",
                "        <time><beats>4</beats><beat-type>4</beat-type></time>\n",
                "        <clef><sign>G</sign><line>2</line></clef>\n",
                "        <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>\n",
                "      </attributes>\n",
                "{}",
                "      <direction placement=\"below\">\n",
                "        <direction-type><dynamics><mf/></dynamics></direction-type>\n",
                "      </direction>\n",
                "      <note>\n",
                "        <pitch><step>C</step><octave>5</octave></pitch>\n",
                "        <duration>8</duration>\n",
                "        <type>whole</type>\n",
                "      </note>\n",
                "    </measure>\n",
                "  </part>\n",
            ),
            number, tempo
        );
    }
    format!(
        concat!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n",
            "<score-partwise version=\"4.0\">\n",
            "  <work><work-title>${{1:Title}}</work-title></work>\n",
            "  <part-list>\n",
            "{}",
            "  </part-list>\n",
            "{}",
            "</score-partwise>$0\n",
        ),
        list, parts
    )
}
