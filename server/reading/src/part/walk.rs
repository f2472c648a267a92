//! The walk through a part's events that keeps what is in force: crook, hand, mute, dynamic, solo, breath.

use std::sync::Arc;

use horn::{Dynamic, Height, Instruction, Term, register};
use score::{
    Clef, ClefKind, EventKind, Mark, MarkKind, Note, Part, Placed, Rest, Sign, Span, TrillTo,
};
use theory::{Alteration, Key, Quarters, Seconds, SoundingPitch, TempoMap, WrittenPitch};

use super::RipMark;
use crate::common::CommonMarks;
use crate::crook::{Crooks, is_old_bass};
use crate::note::{Marked, PlayedMark, PlayedNote, Said};
use crate::players::{Players, Sharing};
use crate::roster::Seat;
use crate::stop::Stop;
use crate::technique::{Hand, Mute, Technique, Tone};
use crate::words::KnownWords;

/// What the walk brings home.
#[derive(Default)]
pub(super) struct Heard {
    pub(super) notes: Vec<PlayedNote>,
    pub(super) marks: Vec<PlayedMark>,
    pub(super) rips: Vec<RipMark>,
    pub(super) keys: Vec<(Quarters, Key, Span)>,
    /// Hand, mute, bell and tone at the page's end, as words have set them.
    pub(super) at_end: Technique,
}

/// Who a walk is for.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// Who plays what on the staff.
    pub(super) sharing: &'a Sharing,
    /// The one player whose notes are wanted; all notes of the staff where there is none.
    pub(super) player: Option<usize>,
}

impl Wanted<'_> {
    /// Whether an event concerns whoever is wanted, and whether they have nothing to play meanwhile.
    fn concerns(&self, event: usize) -> (bool, bool) {
        let share = self.sharing.shares.get(event).copied().unwrap_or_default();
        match self.player {
            Some(player) => (share.to.contains(player), share.silent.contains(player)),
            // With all of them at another instrument nobody plays.
            None => (
                !share.to.is_empty(),
                share.to.is_empty() && !share.silent.is_empty(),
            ),
        }
    }
}

struct Walk<'a> {
    tempo: &'a TempoMap,
    /// What is said to others as well.
    common: &'a CommonMarks,
    crooks: &'a Crooks,
    clef: Clef,
    /// Who plays, from what kind of page.
    seat: &'a Seat,
    /// What words have set; signs are laid over it note by note.
    technique: Technique,
    /// The hand as a sign sets it for the coming note.
    sign: Option<(Hand, Span)>,
    /// A breath mark for the coming note.
    breath: Option<Span>,
    /// Whether the coming note is held at a fermata.
    fermata: bool,
    /// A trill on it.
    trill: Option<(TrillTo, Span)>,
    /// An accidental that stands as words over the coming note, for its trill.
    trill_accidental: Option<Alteration>,
    marked: Marked,
    /// How the last note is held and marked, which the next one shares where it is the same.
    last: (Arc<Technique>, Arc<Marked>),
    /// When the breath now spent was taken.
    phrase: Option<Seconds>,
    /// Marks whose first note has not come yet, by their places in `marks`.
    waiting: Vec<usize>,
    /// Rips asked for whose first note has not come yet.
    rips_asked: Vec<Span>,
    /// Rips whose first note has come and whose last has not.
    rips_open: Vec<(Span, usize)>,
    /// The part's words.
    words: &'a KnownWords,
    /// When the player whose line this is last began a note; `None` for a whole staff.
    attacked: Option<Attack>,
    heard: Heard,
}

/// Walks the part.
pub(super) fn walk<'a, S: Stop>(
    part: &'a Part,
    crooks: &'a Crooks,
    seat: &'a Seat,
    common: &'a CommonMarks,
    tempo: &'a TempoMap,
    wanted: Wanted<'a>,
    stop: &S,
) -> Result<Heard, S::Stopped> {
    let mut walk = Walk {
        tempo,
        common,
        crooks,
        clef: part.clef.unwrap_or(Clef::TREBLE),
        seat,
        technique: Technique::default(),
        sign: None,
        breath: None,
        fermata: false,
        trill: None,
        trill_accidental: None,
        marked: Marked::default(),
        last: Default::default(),
        phrase: None,
        waiting: Vec::new(),
        rips_asked: Vec::new(),
        rips_open: Vec::new(),
        words: &wanted.sharing.words,
        attacked: wanted.player.map(|_| Attack::default()),
        heard: Heard::default(),
    };
    let mut event = 0;
    for (index, bar) in part.bars.iter().enumerate() {
        stop.look()?;
        // One that stands over a barline holds no note.
        walk.fermata = false;
        for placed in bar.events(index) {
            walk.event(part, placed, event, bar.number, wanted);
            event += 1;
        }
    }
    walk.heard.at_end = walk.technique;
    Ok(walk.heard)
}

/// The last note a player began, so that a further one at the same moment is told from the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Attack {
    at: Option<(Quarters, bool)>,
}

impl<'a> Walk<'a> {
    /// Takes in an event, given its place among the part's events and its bar's number.
    fn event(
        &mut self,
        part: &Part,
        placed: Placed<'a>,
        event: usize,
        number: u32,
        wanted: Wanted<'_>,
    ) {
        let (concerns, silent) = wanted.concerns(event);
        if silent {
            self.phrase = None;
            self.fermata = false;
        }
        match &placed.event.kind {
            EventKind::Note(_) | EventKind::Rest(_) | EventKind::Mark(_) if !concerns => {}
            EventKind::Note(note) => {
                let share = wanted.sharing.shares.get(event);
                let players = share.map_or(Players::NONE, |share| share.to);
                self.note(placed, note, number, players);
            }
            EventKind::Rest(rest) => self.rest(rest),
            EventKind::Mark(mark) => self.mark(placed, mark, number),
            // What is recorded for another instrument is not the horn's.
            EventKind::Key(_) | EventKind::Transposition(_) if silent && !concerns => {}
            // The start's own signature comes by here again.
            EventKind::Key(_) if part.key.is_some_and(|(_, span)| span == placed.span()) => {}
            EventKind::Key(key) => self.heard.keys.push((placed.onset, *key, placed.span())),
            EventKind::Clef(clef) => self.clef = *clef,
            // The crooks are worked out before the self.
            EventKind::Transposition(_) | EventKind::Witness(..) => {}
            EventKind::Cue(_)
            | EventKind::Meter(_)
            | EventKind::Tempo(_)
            | EventKind::Section(_)
            | EventKind::Route(_)
            | EventKind::PageBreak => {}
        }
    }

    /// On a player's own line every note leads, but for a further one at the same moment.
    fn leads(&mut self, placed: Placed<'_>, note: &Note) -> (bool, u8) {
        let Some(attack) = &mut self.attacked else {
            return (!note.chord, note.layer);
        };
        let at = Some((placed.onset, note.grace));
        let further = note.chord && attack.at == at;
        attack.at = at;
        (!further, 0)
    }

    fn note(&mut self, placed: Placed<'_>, note: &Note, number: u32, players: Players) {
        let (leads, layer) = self.leads(placed, note);
        let index = self.heard.notes.len();
        let starts = self.tempo.seconds(placed.onset);
        let ends = self.tempo.seconds(placed.onset + note.length);
        let phrase = *self.phrase.get_or_insert(starts);
        let (written, sounding) = self.pitches(note, placed.onset);
        let technique = self.technique_of(note, written, leads, layer);
        let height = Height::of(sounding);
        if leads && !note.tied_from {
            for (mark, from) in self.rips_open.drain(..) {
                self.heard.rips.push(RipMark {
                    mark,
                    from,
                    to: index,
                });
            }
        }
        if leads {
            for mark in self.waiting.drain(..) {
                if let Some(mark) = self.heard.marks.get_mut(mark) {
                    mark.next_note = Some(index);
                }
            }
            // A line and "gliss." beside it are one rip.
            self.rips_open
                .extend(self.rips_asked.drain(..).next().map(|mark| (mark, index)));
        }
        let trill = self.trill_of_note();
        self.heard.notes.push(PlayedNote {
            span: placed.span(),
            pitch_span: note.pitch_span.shifted(placed.base),
            bar: placed.bar,
            number,
            offset: placed.event.offset,
            onset: placed.onset,
            length: note.length,
            clef: self.clef,
            written,
            sounding,
            height,
            register: register(height),
            technique: shared(&mut self.last.0, technique),
            marked: shared(&mut self.last.1, self.marked),
            starts,
            ends,
            since_rest: starts - phrase,
            alteration_from: note.alteration_from,
            grace: note.grace,
            chord: !leads,
            tied_from: note.tied_from,
            tied_to: note.tied_to,
            slurred_to_next: note.slurred_to_next,
            breath: self.breath.take(),
            fermata: std::mem::take(&mut self.fermata),
            trill,
            layer,
            players,
        });
    }

    /// The trill on the coming note; an accidental that stands over it alone is the trill's.
    fn trill_of_note(&mut self) -> Option<Box<(TrillTo, Span)>> {
        let accidental = self.trill_accidental.take();
        let (to, span) = self.trill.take()?;
        let to = match (to, accidental) {
            (TrillTo::Key, Some(alteration)) => TrillTo::Accidental(alteration),
            (to, _) => to,
        };
        Some(Box::new((to, span)))
    }

    /// The page and the sound of a note; in the old way of writing, bass clef stands an octave too low.
    ///
    /// Where the file's notes are what sounds, the page is what the horn in force reads.
    fn pitches(&self, note: &Note, onset: Quarters) -> (WrittenPitch, SoundingPitch) {
        let crook = self.crooks.at(onset).transposition;
        if let Some(sounding) = self.seat.heard(note) {
            return (crook.write(sounding), sounding);
        }
        let bass = self.clef.kind == ClefKind::Bass;
        let octaves = i8::from(is_old_bass(self.seat.bass_clef, bass));
        let sounding = crook.sound(note.written);
        (note.written, sounding.octaves_up(octaves))
    }

    /// Hand and mute for one note: words, then its sign, then what it is tied from.
    fn technique_of(
        &mut self,
        note: &Note,
        written: WrittenPitch,
        leads: bool,
        layer: u8,
    ) -> Technique {
        let mut technique = self.technique;
        let mut before = self.heard.notes.iter().rev();
        let tied_from = note
            .tied_from
            .then(|| before.find(|one| one.layer == layer && one.written == written))
            .flatten();
        // A sign speaks to the whole chord; it is spent when the next note begins.
        let sign = if !leads {
            self.heard
                .notes
                .last()
                .map(|leader| (leader.technique.hand, leader.technique.hand_mark))
        } else {
            self.sign.take().map(|(hand, mark)| (hand, Some(mark)))
        };
        if technique.mute == Mute::Stopping {
            // + over such a note says again what the mute does.
            technique.hand = Hand::Open;
        } else if let Some((hand, mark)) = sign {
            technique.hand = hand;
            technique.hand_mark = mark;
        } else if let Some(before) = tied_from {
            technique.hand = before.technique.hand;
            technique.hand_mark = before.technique.hand_mark;
        }
        technique
    }

    fn rest(&mut self, rest: &Rest) {
        if self.attacked.is_none() && rest.layer != 0 || rest.length.is_zero() {
            return;
        }
        self.phrase = None;
        self.fermata = false;
        // Scores seldom say where a solo ends; a bar's rest ends it.
        if rest.whole_bar || rest.length >= Quarters::whole(4) {
            self.marked.solo = None;
            // Nor where a brassy or fluttered tone does.
            self.technique.change_tone(Tone::Usual, None);
        }
    }

    fn mark(&mut self, placed: Placed<'a>, mark: &'a Mark, number: u32) {
        let span = placed.span();
        match &mark.kind {
            MarkKind::Sign(Sign::Plus) if self.common.plus => {}
            MarkKind::Sign(Sign::Plus) => {
                self.push_mark(placed, number, true, Said::Sign(Instruction::Stopped), None);
                self.sign = Some((Hand::Stopped, span));
            }
            MarkKind::Sign(Sign::Circle) => {
                self.push_mark(placed, number, true, Said::Sign(Instruction::Open), None);
                self.sign = Some((Hand::Open, span));
            }
            MarkKind::Sign(Sign::Breath) => self.breath = Some(span),
            MarkKind::Sign(Sign::Fermata) => self.fermata = true,
            MarkKind::Sign(Sign::Trill(to)) => self.trill = Some((*to, span)),
            MarkKind::Sign(Sign::Glissando) => self.rips_asked.push(span),
            MarkKind::Dynamic(letters) => {
                if let Some(dynamic) = Dynamic::read(letters) {
                    self.marked.dynamic = Some((dynamic, span));
                }
            }
            MarkKind::Words(text) if accidental_alone(&text.text).is_some() => {
                self.trill_accidental = accidental_alone(&text.text);
            }
            MarkKind::Words(text) => {
                let words = self.words.known(&text.text);
                let (words, terms) = (&words.text, &words.terms);
                let alone = terms.len() == 1
                    && terms
                        .first()
                        .is_some_and(|term| says_nothing_else(&text.text, &term.range));
                for term in terms {
                    self.push_mark(
                        placed,
                        number,
                        alone,
                        Said::Word(term.instruction),
                        Some((words, term)),
                    );
                    self.obey(&term.instruction, placed, span);
                }
            }
            MarkKind::Sign(_) | MarkKind::HairpinStart(_) | MarkKind::HairpinEnd => {}
        }
    }

    fn push_mark(
        &mut self,
        placed: Placed<'_>,
        number: u32,
        alone: bool,
        said: Said,
        words: Option<(&Arc<str>, &Term)>,
    ) {
        let before = self.technique;
        self.technique.obey(&said, placed.span());
        self.waiting.push(self.heard.marks.len());
        self.heard.marks.push(PlayedMark {
            span: placed.span(),
            alone,
            said,
            words: words.map(|(words, _)| Arc::clone(words)),
            term: words.map(|(_, term)| term.range.clone()),
            language: words.and_then(|(_, term)| term.language),
            bar: placed.bar,
            number,
            onset: placed.onset,
            before,
            again: Vec::new(),
            last_note: self.heard.notes.len().checked_sub(1),
            next_note: None,
        });
    }

    /// Takes in what a word says of all but hand, mute, bell and tone.
    fn obey(&mut self, instruction: &Instruction, placed: Placed<'_>, span: Span) {
        match instruction {
            Instruction::Solo if self.common.solo_at(placed.onset) => {}
            Instruction::Solo => self.marked.solo = Some(span),
            Instruction::Tutti | Instruction::Unison(_) => self.marked.solo = None,
            Instruction::Dynamic(dynamic) => self.marked.dynamic = Some((*dynamic, span)),
            Instruction::Gliss => self.rips_asked.push(span),
            _ => {}
        }
    }
}

/// A value as it is shared with what came before, where it is the same.
fn shared<T: PartialEq>(last: &mut Arc<T>, value: T) -> Arc<T> {
    if **last != value {
        *last = Arc::new(value);
    }
    Arc::clone(last)
}

/// An accidental that is all that some words say, as it stands over a trill.
fn accidental_alone(text: &str) -> Option<Alteration> {
    Some(Alteration(match text.trim_matches(['(', ')', ' ']) {
        "♭" | "b" => -1,
        "♮" | "=" => 0,
        "♯" | "#" => 1,
        _ => return None,
    }))
}

/// Whether nothing but signs and spaces stands outside a term.
fn says_nothing_else(text: &str, range: &std::ops::Range<usize>) -> bool {
    let outside =
        |part: Option<&str>| part.is_some_and(|part| !part.chars().any(char::is_alphanumeric));
    outside(text.get(..range.start)) && outside(text.get(range.end..))
}
