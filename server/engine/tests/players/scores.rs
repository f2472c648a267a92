//! Horn parts of one or two voices, bar by bar, written in each notation.

use notation::{Document, Format};

/// One thing in a bar of four quarter notes.
#[derive(Clone, Copy)]
pub(crate) enum Item<'a> {
    /// Words above what follows.
    Words(&'a str),
    /// Quarter notes that sound together, from the highest down: `"e5 c5"`.
    Chord(&'a str),
    /// A quarter rest.
    Rest,
    /// A quarter rest that is not printed.
    Hidden,
}

use Item::{Chord, Hidden, Rest, Words};

/// A horn part in each notation, one bar of four quarters after the other; a second voice where it is given.
pub(crate) fn scores(
    name: &str,
    bars: &[&[Item<'_>]],
    second: &[&[Item<'_>]],
) -> Vec<(&'static str, Document)> {
    [
        ("abc", abc(name, bars, second)),
        ("kern", kern(name, bars, second)),
        ("musicxml", musicxml(name, bars, second)),
    ]
    .map(|(format, text)| {
        (
            format,
            Document::from_text(Format::of_name(format).unwrap(), &text),
        )
    })
    .into()
}

fn abc(name: &str, bars: &[&[Item<'_>]], second: &[&[Item<'_>]]) -> String {
    let line = |items: &[Item<'_>]| -> String {
        let one = |item: &Item<'_>| match item {
            Words(words) => format!("\"^{words}\""),
            Rest => "z ".to_owned(),
            Hidden => "x ".to_owned(),
            Chord(notes) => {
                let notes: Vec<String> = notes
                    .split(' ')
                    .map(|note| match note.as_bytes() {
                        [letter, b'5'] => char::from(*letter).to_string(),
                        [letter, b'4'] => char::from(letter.to_ascii_uppercase()).to_string(),
                        _ => panic!("{note}"),
                    })
                    .collect();
                match &notes[..] {
                    [one] => format!("{one} "),
                    many => format!("[{}] ", many.concat()),
                }
            }
        };
        items.iter().map(one).collect()
    };
    let bars: Vec<String> = bars
        .iter()
        .enumerate()
        .map(|(index, items)| match second.get(index) {
            Some(other) => format!("{}& {}", line(items), line(other)),
            None => line(items),
        })
        .collect();
    let music = bars.join("| ");
    format!("X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"{name}\" transpose=-7\n{music}|]\n")
}

/// The sounding token of a note written for a horn in F, in Humdrum.
fn sounding(note: &str) -> &'static str {
    match note {
        "e5" => "a",
        "d5" => "g",
        "c5" => "f",
        "g4" => "c",
        "e4" => "A",
        "c4" => "F",
        _ => panic!("{note}"),
    }
}

fn kern(name: &str, bars: &[&[Item<'_>]], second: &[&[Item<'_>]]) -> String {
    let mut text = format!("**kern\n*I\"{name}\n*ITrd4c7\n*M4/4\n*MM80\n");
    let token = |item: &Item<'_>| match item {
        Rest => "4r".to_owned(),
        Hidden => "4ryy".to_owned(),
        Chord(notes) => {
            let notes: Vec<String> = notes
                .split(' ')
                .map(|note| format!("4{}", sounding(note)))
                .collect();
            notes.join(" ")
        }
        Words(_) => panic!("words of a second voice"),
    };
    for (index, items) in bars.iter().enumerate() {
        text += &format!("={}\n", index + 1);
        let other: Option<Vec<&Item<'_>>> = second.get(index).map(|items| items.iter().collect());
        if other.is_some() {
            text += "*^\n";
        }
        let mut place = 0;
        for item in *items {
            match (item, &other) {
                (Words(words), None) => text += &format!("!LO:TX:a:t={words}\n"),
                (Words(words), Some(_)) => text += &format!("!LO:TX:a:t={words}\t!\n"),
                (item, None) => text += &format!("{}\n", token(item)),
                (item, Some(other)) => {
                    text += &format!("{}\t{}\n", token(item), token(other[place]));
                    place += 1;
                }
            }
        }
        if other.is_some() {
            text += "*v\t*v\n";
        }
    }
    text + "==\n*-\n"
}

fn musicxml(name: &str, bars: &[&[Item<'_>]], second: &[&[Item<'_>]]) -> String {
    let voice = |items: &[Item<'_>], voice: usize| -> String {
        let one = |item: &Item<'_>| {
            match item {
            Words(words) => format!(
                "<direction placement=\"above\"><direction-type><words>{words}</words></direction-type></direction>"
            ),
            Rest => format!("<note><rest/><duration>1</duration><voice>{voice}</voice><type>quarter</type></note>"),
            Hidden => format!(
                "<note print-object=\"no\"><rest/><duration>1</duration><voice>{voice}</voice><type>quarter</type></note>"
            ),
            Chord(notes) => notes
                .split(' ')
                .enumerate()
                .map(|(index, note)| {
                    let (step, octave) = note.split_at(1);
                    let chord = if index > 0 { "<chord/>" } else { "" };
                    format!(
                        "<note>{chord}<pitch><step>{}</step><octave>{octave}</octave></pitch><duration>1</duration>\
                         <voice>{voice}</voice><type>quarter</type></note>",
                        step.to_uppercase()
                    )
                })
                .collect(),
        }
        };
        items.iter().map(one).collect()
    };
    let measures: String = bars
        .iter()
        .enumerate()
        .map(|(index, items)| {
            let start = if index == 0 {
                "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
                 <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes><sound tempo=\"80\"/>"
            } else {
                ""
            };
            let other = second.get(index).map_or_else(String::new, |other| {
                format!("<backup><duration>4</duration></backup>{}", voice(other, 2))
            });
            format!("<measure number=\"{}\">{start}{}{other}</measure>", index + 1, voice(items, 1))
        })
        .collect();
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>{name}</part-name></score-part></part-list>\
         <part id=\"P1\">{measures}</part></score-partwise>"
    )
}
