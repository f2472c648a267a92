//! What a check is given.

use std::ops::Deref;

use horn::{Height, Instrument, Language, Sourced, Wording};
use reading::{HornPart, PieceReading, PlayedMark, PlayedNote};
use score::{Directive, EventKind, Intent, Kinds, Part, PartRef, Span, Unreadable};
use theory::{Quarters, Seconds, SoundingPitch, TempoMap, WrittenPitch};

use crate::assumed::{AtAssumedTempo, Ceases};
use crate::finding::Finding;
use crate::house::House;
use crate::rule::Rule;
use crate::setting::Setting;

/// A horn part to be judged by itself: what is said of it holds for as long as it, its tempo and its house are the same.
/// Spans count from the start of the piece.
#[derive(Debug, Clone, Copy)]
pub struct PartContext<'a> {
    /// The part.
    pub part: &'a HornPart,
    /// The part as the score holds it.
    pub score: &'a Part,
    /// The speed at every place of the piece.
    pub tempo: &'a TempoMap,
    /// The house's style.
    pub house: &'a House,
}

/// A horn part to be judged among the others of its piece. Spans count from the start of the piece.
#[derive(Debug, Clone, Copy)]
pub struct AmongContext<'a> {
    /// The part by itself.
    pub own: PartContext<'a>,
    /// The piece.
    pub reading: &'a PieceReading,
}

impl<'a> Deref for AmongContext<'a> {
    type Target = PartContext<'a>;

    fn deref(&self) -> &PartContext<'a> {
        &self.own
    }
}

/// A piece to be judged. Spans count from its start.
#[derive(Debug, Clone, Copy)]
pub struct PieceContext<'a> {
    /// The piece.
    pub reading: &'a PieceReading,
    /// The house's style.
    pub house: &'a House,
}

/// A document to be judged. Spans count from its start.
#[derive(Debug, Clone, Copy)]
pub struct ScoreContext<'a> {
    /// Its pieces, each with where it begins.
    pub pieces: &'a [(usize, &'a PieceReading)],
    /// Instructions that hold for the whole document.
    pub directives: &'a [Directive],
    /// What could not be read outside any piece.
    pub unreadable: &'a [Unreadable],
    /// The house's style.
    pub house: &'a House,
}

/// What has been found in a document, to be judged itself. Spans count from its start.
#[derive(Debug, Clone, Copy)]
pub struct FindingsContext<'a> {
    /// Its pieces, each with where it begins.
    pub pieces: &'a [(usize, &'a PieceReading)],
    /// Instructions that hold for the whole document.
    pub directives: &'a [Directive],
    /// What all rules have found that look at the score, but for what the text asks to keep silent about.
    pub findings: &'a [Finding],
    /// The house's style.
    pub house: &'a House,
}

/// An instruction to keep silent, and what came of it. Spans count from the document's start.
#[derive(Debug, Clone, Copy)]
pub struct IgnoreContext<'a> {
    /// Where its words stand.
    pub span: Span,
    /// Whether it holds for the whole file.
    pub in_file: bool,
    /// The rules it names.
    pub rules: &'a [Ignored<'a>],
}

/// A rule that an instruction names.
#[derive(Debug, Clone, Copy)]
pub struct Ignored<'a> {
    /// Its name as written.
    pub name: &'a str,
    /// Where it stands.
    pub span: Span,
    /// Whether the rule would have spoken.
    pub used: bool,
}

impl<'a> PartContext<'a> {
    /// A part of a piece, or a player's line of one; `None` where the piece has no such part.
    #[must_use]
    pub fn of(reading: &'a PieceReading, part: &'a HornPart, house: &'a House) -> Option<Self> {
        Some(Self {
            part,
            score: reading.piece.parts.get(part.seat.part)?,
            tempo: &reading.tempo,
            house,
        })
    }
}

impl AmongContext<'_> {
    /// What a cue calls another part, in the language in which the house or the part prints its words.
    pub(crate) fn cue_name(&self, part: usize) -> Option<String> {
        let language = self.house.words.only().or(self.part.language);
        self.reading.cue_name(part, language)
    }
}

impl PartContext<'_> {
    /// A finding about this part.
    pub(crate) fn finding(
        &self,
        rule: &Rule,
        span: Span,
        message: String,
        source: &impl ToString,
    ) -> Finding {
        let mut finding = Finding::new(rule, span, message, source);
        finding.part = Some(self.part.label.clone());
        finding.player = self.part.player;
        finding
    }

    /// What the part is played on.
    pub(crate) const fn instrument(&self) -> Instrument {
        self.part.seat.instrument
    }

    /// The part as intents name it; the engine puts in which piece it is.
    pub(crate) const fn part_ref(&self) -> PartRef {
        self.ref_to(self.part)
    }

    /// Another horn part of the same piece, in the same way.
    pub(crate) const fn ref_to(&self, horn: &HornPart) -> PartRef {
        PartRef {
            piece: 0,
            part: horn.seat.part,
        }
    }

    pub(crate) fn pitch(&self, rule: &Rule, setting: &Setting) -> Sourced<Height> {
        self.house.pitch(rule.name, setting)
    }

    pub(crate) fn seconds(&self, rule: &Rule, setting: &Setting) -> Sourced<Seconds> {
        self.house.seconds(rule.name, setting)
    }

    pub(crate) fn number(&self, rule: &Rule, setting: &Setting) -> Sourced<f64> {
        self.house.number(rule.name, setting)
    }

    pub(crate) fn choice(&self, rule: &Rule, setting: &Setting) -> Sourced<&'static str> {
        self.house.choice(rule.name, setting)
    }

    /// The words to write for something: the house's, else in the language of a mark, else in that of the part.
    pub(crate) fn word(&self, wording: Wording, spoken: Option<Language>) -> String {
        self.house.words.word_in(self.part, wording, spoken)
    }

    /// A height on this part's page, at a place in it.
    pub(crate) fn on_page(&self, height: Height, near: &PlayedNote) -> WrittenPitch {
        let sounding = SoundingPitch(horn::Crook::F.transposition().sound(height.0).0);
        WrittenPitch(
            self.part
                .crook_at(near.onset)
                .transposition
                .write(sounding)
                .0
                .plain(),
        )
    }

    /// A note by its name on the page, with its sound: `D6 (sounds G5)`.
    pub(crate) fn name(&self, note: &PlayedNote) -> String {
        format!("{} (sounds {})", note.written, note.sounding)
    }

    /// A note by its name, its sound and, on another crook than F, where it lies for a player of today.
    pub(crate) fn name_and_height(&self, note: &PlayedNote) -> String {
        if note.height.midi() == note.written.midi() {
            self.name(note)
        } else {
            format!(
                "{}, which is {} on a horn in F,",
                self.name(note),
                note.height
            )
        }
    }

    /// A height as the limit that a note is measured by: `written C6`, for whom where the part is for another crook.
    pub(crate) fn limit(&self, limit: Height, note: &PlayedNote) -> String {
        if note.height.midi() == note.written.midi() {
            format!("written {limit}")
        } else {
            format!("written {limit} for horn in F")
        }
    }

    /// The change that moves these notes by octaves.
    pub(crate) fn octaves(notes: impl IntoIterator<Item = Span>, octaves: i8) -> Vec<Intent> {
        vec![Intent::MoveOctaves {
            notes: notes.into_iter().collect(),
            octaves,
        }]
    }

    /// The part's events of some kinds as the score holds them.
    pub(crate) fn events_of(&self, kinds: Kinds) -> impl Iterator<Item = score::Placed<'_>> {
        self.score.events_of(kinds)
    }

    /// The first printed rest between two notes: where it stands, and its bar's number.
    pub(crate) fn rest_between(
        &self,
        before: &PlayedNote,
        after: &PlayedNote,
    ) -> Option<(Span, u32)> {
        let bars = self.score.bars.get(before.bar..=after.bar)?;
        let from = before.onset + before.length;
        let rests = bars.iter().enumerate().flat_map(|(index, bar)| {
            bar.events(before.bar + index)
                .map(move |placed| (placed, bar.number))
        });
        rests
            .filter(|(placed, _)| from <= placed.onset && placed.onset < after.onset)
            .find_map(|(placed, number)| match &placed.event.kind {
                EventKind::Rest(rest) if rest.visible => Some((placed.span(), number)),
                _ => None,
            })
    }

    /// The first printed rest of its own that begins in a bar from the one of a moment on, between two notes but not right
    /// behind the first: where it stands, and its bar's number. One sign for many bars of rest has no place within.
    pub(crate) fn rest_from(
        &self,
        moment: Quarters,
        before: &PlayedNote,
        after: &PlayedNote,
    ) -> Option<(Span, u32)> {
        let first = self.score.bar_at(moment).map_or(0, |(place, _)| place);
        let bars = self.score.bars.iter().enumerate().skip(first);
        let rests = bars.flat_map(|(index, bar)| {
            let placed = bar.events(index);
            placed.map(move |placed| (placed, bar.number))
        });
        rests
            .take_while(|(placed, _)| placed.onset < after.onset)
            .skip_while(|(placed, _)| placed.onset <= before.onset + before.length)
            .find_map(|(placed, number)| match &placed.event.kind {
                EventKind::Rest(rest) if rest.visible => Some((placed.span(), number)),
                _ => None,
            })
    }

    /// The bar of the part in which a moment lies.
    pub(crate) fn bar_at(&self, moment: Quarters) -> Option<&score::Bar> {
        self.score.bar_at(moment).map(|(_, bar)| bar)
    }

    /// When something is said of what happens: words over the staff, small notes and the beginnings of sections, in the order of time.
    pub(crate) fn landmarks(&self) -> Vec<Quarters> {
        let mut landmarks: Vec<Quarters> = self
            .events_of(Kinds::SECTIONS.and(Kinds::WORDS).and(Kinds::CUES))
            .map(|placed| placed.onset)
            .collect();
        landmarks.sort_unstable();
        landmarks
    }

    /// Whether a mark's words themselves say that it holds to the end.
    pub(crate) fn says_to_the_end(mark: &PlayedMark) -> bool {
        let words = mark.words.as_deref().unwrap_or_default().to_lowercase();
        [
            "to the end",
            "al fine",
            "sempre",
            "bis zum schluss",
            "jusqu",
        ]
        .iter()
        .any(|end| words.contains(end))
    }

    /// Marks a finding that rests on seconds as one that rests on the assumed tempo, where nothing marks one at a note.
    /// At `multiple` times that tempo it is just no longer so: below 1 it needs haste, above 1 it needs length.
    pub(crate) fn at_tempo(
        &self,
        mut finding: Finding,
        near: &PlayedNote,
        multiple: f64,
    ) -> Finding {
        let (tempo, source) = self.tempo.tempo(near.onset);
        if source == theory::TempoSource::Assumed {
            finding.assumed = Ceases::at(tempo.rate(), multiple).map(|ceases| AtAssumedTempo {
                piece: 0,
                part: self.part.seat.part,
                ceases,
            });
        }
        finding
    }

    /// Whether the tempo at a note is only assumed, as words to add to a time.
    pub(crate) fn tempo_words(&self, note: &PlayedNote) -> String {
        let (tempo, source) = self.tempo.tempo(note.onset);
        let rate = tempo.rate().round();
        match source {
            theory::TempoSource::Marked => format!("at {rate} quarter notes a minute"),
            theory::TempoSource::Word => {
                format!("if the tempo word means {rate} quarter notes a minute")
            }
            theory::TempoSource::Title => {
                format!("if the tempo word in the title means {rate} quarter notes a minute")
            }
            theory::TempoSource::Assumed => {
                format!("if it goes at {rate} quarter notes a minute; the part marks no tempo")
            }
        }
    }
}
