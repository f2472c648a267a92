//! Notes, rests, chords and grace notes.

use score::bounds::{MOST_IN_CHORD, MOST_LAYERS};
use score::{AlterationFrom, Cue, Event, EventKind, Lost, Note, Rest};
use theory::{Pitch, Quarters, SoundingPitch, WrittenPitch};

use super::measure::{Leader, Met, Reader};
use super::{notations, pitch};
use crate::musicxml::tree::Element;

/// The most signs of one note that are read.
const MOST_MARKS: usize = 64;
/// The numbers by which slurs that overlap are told apart (MusicXML 4.0, "number-level").
const SLUR_NUMBERS: std::ops::RangeInclusive<u8> = 1..=16;

impl Reader {
    /// Takes in a `<note>`, which may be a rest.
    pub(super) fn note(&mut self, note: Element<'_>) {
        let grace = note.child("grace").is_some();
        let chord = note.child("chord").is_some();
        let length = if grace {
            Quarters::ZERO
        } else {
            self.duration(note)
        };
        let leader = self.leader.filter(|_| chord);
        if let Some(leader) = &mut self.leader
            && chord
        {
            leader.notes += 1;
        }
        if leader.is_some_and(|leader| leader.notes >= MOST_IN_CHORD) {
            self.slip(
                note.open(),
                format!("this chord has more than {MOST_IN_CHORD} notes"),
                "as many notes as can be played at once",
                Lost::Notes,
            );
            return;
        }
        let offset = leader.map_or(self.at, |leader| leader.offset);
        let voice = note.value("voice");
        let cue = note.child("cue").is_some();
        if !cue && !self.state.has_line(voice.as_deref()) {
            self.slip(
                note.open(),
                format!(
                    "this part has more than {MOST_LAYERS} voices, and this one is read as its last"
                ),
                "a part for each player, or each pair of players",
                Lost::Notes,
            );
        }
        // Cues show what others play, and what is not printed nobody reads: to the player both are silence.
        let unprinted = note.says("print-object", "no");
        // A cue in a voice of its own is no line of this part.
        let layer = if cue {
            self.state.known_layer(voice.as_deref())
        } else {
            Some(self.state.layer(voice.as_deref()))
        };
        let event = self.events.len();
        if cue || unprinted || note.child("rest").is_some() {
            if let Some(layer) = layer.filter(|_| !chord) {
                self.rest(note, length, layer, !cue && !unprinted);
            }
            if cue && !unprinted && !grace {
                self.cue(note, length, offset);
            }
        } else if let Some(element) = note.child("pitch") {
            self.marks(note, leader, offset);
            let layer = layer.unwrap_or_default();
            self.pitched(note, element, length, layer, leader, offset);
        } else if note.child("unpitched").is_none() {
            self.slip(
                note.open(),
                "this note has neither pitch nor rest".to_owned(),
                "<pitch><step>C</step><octave>5</octave></pitch> or <rest/>",
                Lost::Notes,
            );
        }
        if leader.is_none() {
            self.leader = Some(Leader {
                event,
                offset,
                notes: 1,
            });
        }
        if !grace && !chord {
            self.advance(length);
        }
    }

    fn rest(&mut self, note: Element<'_>, length: Quarters, layer: u8, visible: bool) {
        let full = note
            .child("rest")
            .is_some_and(|rest| rest.says("measure", "yes"));
        let fills = self.at.is_zero() && self.state.meter.is_some_and(|m| m.bar() == length);
        let rest = Rest {
            length,
            visible,
            whole_bar: full || fills,
            layer,
        };
        self.push(note.span(), EventKind::Rest(rest));
    }

    /// A small note; one whose pitch makes no sense shows nothing.
    fn cue(&mut self, note: Element<'_>, length: Quarters, offset: Quarters) {
        let pitch = note.child("pitch").map(pitch::pitch);
        let written = match pitch {
            Some(Ok(pitch)) => Some(WrittenPitch(pitch)),
            None if note.child("rest").is_some() => None,
            _ => return,
        };
        let cue = Cue {
            written,
            length,
            signed: note.child("accidental").is_some(),
            tied_to: tied(note, "start"),
        };
        self.events.push(Event {
            offset,
            span: note.span(),
            kind: EventKind::Cue(cue),
        });
    }

    /// The marks at a note; those of a further note of a chord belong to the whole chord.
    fn marks(&mut self, note: Element<'_>, leader: Option<Leader>, offset: Quarters) {
        let first = leader.map_or(self.events.len(), |leader| leader.event);
        for (place, (element, mark)) in
            (first..).zip(notations::marks(note).into_iter().take(MOST_MARKS))
        {
            let event = Event {
                offset,
                span: element.span(),
                kind: EventKind::Mark(mark),
            };
            self.events.insert(place.min(self.events.len()), event);
        }
    }

    fn pitched(
        &mut self,
        note: Element<'_>,
        element: Element<'_>,
        length: Quarters,
        layer: u8,
        leader: Option<Leader>,
        offset: Quarters,
    ) {
        let shown = match pitch::pitch(element) {
            Ok(shown) => shown,
            Err(problem) => {
                self.slip(
                    element.span(),
                    problem,
                    "<step>F</step><alter>1</alter><octave>4</octave>, octave 4 being that of middle C",
Lost::Notes,
                );
                return;
            }
        };
        let tied_from = tied(note, "stop");
        let alteration_from = self.alteration_from(note, shown, tied_from, offset);
        self.slurs(note, layer);
        let event = Note {
            written: WrittenPitch(shown),
            sounding: self.state.concert.then_some(SoundingPitch(shown)),
            length,
            alteration_from,
            pitch_span: element.span(),
            tied_from,
            tied_to: tied(note, "start"),
            grace: note.child("grace").is_some(),
            chord: leader.is_some(),
            slurred_to_next: self.state.slurs.iter().any(|(of, _)| *of == layer),
            layer,
        };
        self.events.push(Event {
            offset,
            span: note.span(),
            kind: EventKind::Note(event),
        });
    }

    /// Why a note is altered; an accidental at it is remembered to the barline.
    fn alteration_from(
        &mut self,
        note: Element<'_>,
        shown: Pitch,
        tied_from: bool,
        offset: Quarters,
    ) -> AlterationFrom {
        let staff = note.child_number("staff").unwrap_or(1);
        if note.child("accidental").is_some() {
            self.accidentals.push(Met {
                staff,
                letter: shown.letter,
                octave: shown.octave,
                offset,
                alteration: shown.alteration.0,
            });
            return AlterationFrom::Accidental;
        }
        if tied_from {
            return AlterationFrom::Tie;
        }
        // By time, not by the text: another voice's accidental may stand earlier and sound later.
        let met = |octave: Option<i8>| {
            self.accidentals
                .iter()
                .filter(|met| met.staff == staff && met.offset <= offset)
                .filter(|met| met.letter == shown.letter)
                .filter(|met| octave.is_none_or(|octave| met.octave == octave))
                .max_by_key(|met| met.offset)
        };
        let key = self.state.key(staff);
        let key = key.alteration(shown.letter);
        let holds = |met: &Met| met.alteration == shown.alteration.0;
        match met(Some(shown.octave)) {
            Some(met) if holds(met) => AlterationFrom::Bar,
            None if key == shown.alteration && key.0 != 0 => AlterationFrom::Key,
            None if key == shown.alteration => AlterationFrom::Nothing,
            // Nothing else on the page tells the player of it than the sign in another octave.
            _ if met(None).is_some_and(holds) => AlterationFrom::Bar,
            _ => AlterationFrom::Nothing,
        }
    }

    fn slurs(&mut self, note: Element<'_>, layer: u8) {
        let slurs = note
            .named("notations")
            .flat_map(|notations| notations.named("slur"));
        for slur in slurs {
            let number = slur
                .attribute("number")
                .map_or(Some(1), |number| number.trim().parse().ok());
            let Some(number) = number.filter(|number| SLUR_NUMBERS.contains(number)) else {
                self.slip(
                    slur.open(),
                    "this slur's number is none".to_owned(),
                    "a number from 1 to 16, as in <slur number=\"1\" type=\"start\"/>",
                    Lost::NoNotes,
                );
                continue;
            };
            match slur.attribute("type").as_deref() {
                Some("start") if !self.state.slurs.contains(&(layer, number)) => {
                    self.state.slurs.push((layer, number));
                }
                Some("stop") => {
                    let own = self.state.slurs.iter().position(|s| *s == (layer, number));
                    // A slur may end in another voice than it began in.
                    let place = own.or_else(|| self.state.slurs.iter().position(|s| s.1 == number));
                    if let Some(place) = place {
                        self.state.slurs.remove(place);
                    }
                }
                _ => {}
            }
        }
    }
}

/// Whether a tie starts or stops at a note.
fn tied(note: Element<'_>, kind: &str) -> bool {
    note.named("tie").any(|tie| tie.says("type", kind))
        || note
            .named("notations")
            .flat_map(|notations| notations.named("tied"))
            .any(|tied| tied.says("type", kind))
}
