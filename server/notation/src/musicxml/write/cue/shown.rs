//! Small notes with the values, beams and tuplets of those that they show.

use score::CueNote;
use theory::{Alteration, WrittenPitch};

use super::{Place, Spelling};
use crate::edit::CannotWrite;
use crate::musicxml::note_value;
use crate::musicxml::read::pitch::sign_word;
use crate::musicxml::tree::Element;
use crate::musicxml::write::cannot;
use crate::musicxml::write::page::Source;
use crate::musicxml::write::shape::Layout;

/// The notes as the other part has them.
pub(super) struct Shown(pub(super) Vec<Value>);

/// What a note's value looks like: its elements as they stand in the other part.
pub(super) struct Value {
    kind: String,
    dots: String,
    tuplet: Option<String>,
    beams: Vec<(u8, String, String)>,
    bracket: Option<(bool, String)>,
}

impl Shown {
    pub(super) fn of(source: &Source<'_>, notes: &[CueNote]) -> Result<Self, CannotWrite> {
        let mut values = notes
            .iter()
            .map(|note| Value::of(source, note))
            .collect::<Result<Vec<_>, _>>()?;
        whole_groups(&mut values);
        Ok(Self(values))
    }
}

/// Beams and brackets of which an end is missing go.
fn whole_groups(values: &mut [Value]) {
    let whole = |ends: Vec<Option<bool>>| -> Vec<bool> {
        let mut kept = vec![false; ends.len()];
        let mut open = None;
        for (at, end) in ends.iter().enumerate() {
            match (end, open) {
                (Some(true), _) => open = Some(at),
                (Some(false), Some(from)) => {
                    kept[from..=at].fill(true);
                    open = None;
                }
                _ => {}
            }
        }
        kept
    };
    let beamed = whole(values.iter().map(Value::beam_end).collect());
    let bracketed = whole(
        values
            .iter()
            .map(|it| it.bracket.as_ref().map(|(start, _)| *start))
            .collect(),
    );
    for ((value, beamed), bracketed) in values.iter_mut().zip(beamed).zip(bracketed) {
        if !beamed {
            value.beams.clear();
        }
        if !bracketed {
            value.bracket = None;
        }
    }
}

impl Value {
    fn of(source: &Source<'_>, shown: &CueNote) -> Result<Self, CannotWrite> {
        let shows = shown.shows;
        let page = source.around(shows.start);
        let found = page.as_ref().and_then(|page| Some((page, page.at(shows)?)));
        let Some((page, note)) = found else {
            return cannot("the note that is to be shown is not there any more");
        };
        let text = page.tree.text();
        let own = |element: Element<'_>| text[element.span().range()].to_owned();
        let own_dots = note.named("dot").count();
        let said = note.value("type").map(|kind| (kind, own_dots));
        let Some((kind, dots)) = said.or_else(|| note_value::plain(shown.length)) else {
            return cannot("a note that is to be shown does not say its value (`<type>`)");
        };
        // In a chord the first note has what belongs to all.
        let mut leader = note;
        while leader.child("chord").is_some() {
            let Some(before) = leader.before().filter(|before| before.name() == "note") else {
                break;
            };
            leader = before;
        }
        let beams = leader.named("beam").map(|beam| {
            let number = beam
                .attribute("number")
                .and_then(|number| number.parse().ok());
            (
                number.unwrap_or(1),
                beam.words().trim().to_owned(),
                own(beam),
            )
        });
        let tuplets = leader
            .named("notations")
            .flat_map(|notations| notations.named("tuplet"));
        let bracket = tuplets
            .filter(|tuplet| tuplet.is_one_tag())
            .map(|tuplet| (tuplet.says("type", "start"), own(tuplet)))
            .next();
        Ok(Self {
            kind,
            dots: "<dot/>".repeat(dots),
            tuplet: note.child("time-modification").map(own),
            beams: beams.collect(),
            bracket,
        })
    }

    /// Whether a beam begins here, or ends.
    fn beam_end(&self) -> Option<bool> {
        let (_, said, _) = self.beams.iter().find(|(number, ..)| *number == 1)?;
        match said.as_str() {
            "begin" => Some(true),
            "end" => Some(false),
            _ => None,
        }
    }

    /// The small note, its children in the schema's order (MusicXML 4.0, `note`).
    pub(super) fn note(
        &self,
        place: &Place,
        note: &CueNote,
        length: i64,
        spelling: &mut Spelling,
    ) -> String {
        let inner = place.layout.deeper();
        let mut children = vec!["<cue/>".to_owned()];
        let signed = note.written.filter(|written| spelling.sign(*written));
        let sign = signed.and_then(|written| sign_word(written.0.alteration.0));
        match note.written {
            Some(written) => children.push(pitch(&inner, written)),
            None => children.push("<rest/>".to_owned()),
        }
        children.push(format!("<duration>{length}</duration>"));
        children.push(place.voice.clone());
        children.push(format!("<type size=\"cue\">{}</type>", self.kind));
        children.extend(Some(self.dots.clone()).filter(|dots| !dots.is_empty()));
        children.extend(sign.map(|sign| format!("<accidental>{sign}</accidental>")));
        children.extend(self.tuplet.clone());
        children.extend(place.staff.clone());
        children.extend(self.beams.iter().map(|(.., beam)| beam.clone()));
        let tied = note.tied_to.then(|| "<tied type=\"start\"/>".to_owned());
        let bracket = self.bracket.as_ref().map(|(_, tuplet)| tuplet.clone());
        let notations: Vec<String> = tied.into_iter().chain(bracket).collect();
        if !notations.is_empty() {
            children.push(inner.element("notations", "notations", &notations));
        }
        place.layout.element("note", "note", &children)
    }
}

fn pitch(layout: &Layout, WrittenPitch(pitch): WrittenPitch) -> String {
    let mut children = vec![format!("<step>{}</step>", pitch.letter.as_char())];
    if pitch.alteration != Alteration::NATURAL {
        children.push(format!("<alter>{}</alter>", pitch.alteration.0));
    }
    children.push(format!("<octave>{}</octave>", pitch.octave));
    layout.element("pitch", "pitch", &children)
}
