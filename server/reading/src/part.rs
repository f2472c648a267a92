//! One horn part, read from its first bar to its last as its player would.

mod walk;

use std::sync::Arc;

use horn::{Language, Wording};
use score::{Part, Row, Span};
use theory::{Key, PagePitch, Quarters, TempoMap, Transposition, WrittenPitch, moved_signature};

use crate::away::Absence;
use crate::common::CommonMarks;
use crate::crook::{self, CrookInForce, Crooks, Disagreement};
use crate::effort::{self, Endurance, Pass};
use crate::growth::Growth;
use crate::jump::{self, Jump};
use crate::note::{PlayedMark, PlayedNote};
use crate::performed::Performed;
use crate::players::{self, Call};
use crate::roster::Seat;
use crate::stop::Stop;
use crate::style::Style;
use crate::technique::Technique;

/// A horn part as it is played. Spans count from the start of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct HornPart {
    /// Its place among the piece's horns and how it is known to be one.
    pub seat: Seat,
    /// What to call it in a message: its name, or `part 1`.
    pub label: String,
    /// Where it is declared: the place to speak of the part as a whole.
    pub head: Span,
    /// Where its name stands, if it has one.
    pub name_span: Option<Span>,
    /// The crook at the start.
    pub crook: CrookInForce,
    /// Later crooks: when, which, and where the text says so.
    pub crook_changes: Vec<(Quarters, CrookInForce, Span)>,
    /// Where the witnesses of the crook disagree, in the order of time.
    pub disagreements: Vec<Disagreement>,
    /// The order in which its bars are played, with repeats played out.
    pub performed: Arc<Performed>,
    /// Every key signature: when, which, where.
    pub keys: Vec<(Quarters, Key, Span)>,
    /// Every note, in the order of the text.
    pub notes: Row<PlayedNote>,
    /// What its players can spend before they must breathe or rest.
    pub endurance: Endurance,
    /// The notes of the main line's player in the order played, with what has been spent at each.
    pub passes: Row<Pass>,
    /// Where the performance leaves the order of the page, in the order in which it first does.
    pub jumps: Vec<Jump>,
    /// How words have it that the horn is held when the performance ends.
    pub at_end: Technique,
    /// Where it grows louder than its last dynamic mark says.
    pub growth: Growth,
    /// Every mark the player obeys, in the order of the text.
    pub marks: Row<PlayedMark>,
    /// The language that most of its words for hand and bell are in.
    pub language: Option<Language>,
    /// The language that most of its words for the mute are in, which is often Italian whatever the others are.
    pub mute_language: Option<Language>,
    /// Every rip.
    pub rips: Row<RipMark>,
    /// The player whose line this is, by number, where it is one of several on a staff.
    pub player: Option<u8>,
    /// What each player of a shared staff reads, from the first on; empty where one player has the staff alone.
    pub lines: Vec<Self>,
    /// Words that say who plays.
    pub calls: Vec<Call>,
    /// Where players have taken up another instrument; what stands there is not among the notes.
    pub absences: Vec<Absence>,
    /// Single lines that do not say who of several plays them: the first note of each, by its place in `notes`.
    pub unclear: Vec<usize>,
    /// Where a player is given several notes at once: the second note of each such chord, by its place in `notes`.
    pub too_many: Vec<usize>,
}

/// A rip (glissando through the harmonic series) from one note to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RipMark {
    /// The word or sign that asks for it.
    pub mark: Span,
    /// The note it leaves, by its place in the part's notes.
    pub from: usize,
    /// The note it reaches, by its place in the part's notes.
    pub to: usize,
}

impl HornPart {
    /// The crook in force at a place.
    #[must_use]
    pub fn crook_at(&self, onset: Quarters) -> &CrookInForce {
        crook::at(&self.crook, &self.crook_changes, onset)
    }

    /// What leads from the notes that stand on the page to the sound, while a crook is in force.
    #[must_use]
    pub const fn on_page(&self, crook: &CrookInForce) -> Transposition {
        match self.seat.pitch {
            PagePitch::Written => crook.transposition,
            PagePitch::Sounding => Transposition::CONCERT,
        }
    }

    /// A note as its crook's own series is written, C4 being partial 4: old bass clef stands an octave too low.
    #[must_use]
    pub fn in_series(&self, note: &PlayedNote) -> WrittenPitch {
        let crook = self.crook_at(note.onset);
        crook.transposition.write(note.sounding)
    }

    /// Every rip that leads to its note without a rest between, with the notes it leaves and reaches.
    pub fn sounding_rips(&self) -> impl Iterator<Item = (&RipMark, &PlayedNote, &PlayedNote)> {
        self.rips.iter().filter_map(|rip| {
            let (from, to) = (self.notes.get(rip.from)?, self.notes.get(rip.to)?);
            let rested = to.since_rest.0 <= 0.0 && to.starts > from.starts;
            (!rested).then_some((rip, from, to))
        })
    }

    /// Every note the main line's player plays, in the order played, each time that it is played.
    pub fn played(&self) -> impl Iterator<Item = (&PlayedNote, &Pass)> {
        let notes = self.passes.iter();
        notes.filter_map(|pass| Some((self.notes.get(pass.note)?, pass)))
    }

    /// Every note the main line's player plays, in the order of the page, the last time that it is played: what has been
    /// spent is then what the player has behind them who comes to the bars that follow.
    #[must_use]
    pub fn played_last(&self) -> Vec<(&PlayedNote, &Pass)> {
        let mut last: Vec<_> = self.played().collect();
        if self.performed.turns.len() > 1 {
            last.sort_by_key(|(_, pass)| (pass.note, std::cmp::Reverse(pass.time)));
            last.dedup_by_key(|(_, pass)| pass.note);
        }
        last
    }

    /// The notes attacked on the main line after the note at `index`.
    pub fn attacks_after(&self, index: usize) -> impl Iterator<Item = (usize, &PlayedNote)> {
        self.notes
            .iter()
            .enumerate()
            .skip(index + 1)
            .filter(|(_, note)| note.leads() && !note.tied_from)
    }
}

/// Reads a part for the players in a seat.
pub(crate) fn read<S: Stop>(
    part: &Part,
    performed: Performed,
    seat: &Seat,
    common: &CommonMarks,
    tempo: &TempoMap,
    style: &Style,
    stop: &S,
) -> Result<HornPart, S::Stopped> {
    let sharing = players::share(part, &seat.name);
    let crooks = crook::of(part, seat, &sharing);
    let endurance = style.endurance;
    let growth = Growth::of(part);
    let performed = Arc::new(performed);
    let line = |player: Option<usize>| {
        let wanted = walk::Wanted {
            sharing: &sharing,
            player,
        };
        let mut heard = walk::walk(part, &crooks, seat, common, tempo, wanted, stop)?;
        let passes = effort::played(&heard.notes, &performed, &endurance);
        let performing = jump::follow(
            &heard.notes,
            &mut heard.marks,
            &performed,
            &passes,
            heard.at_end,
        );
        let [language, mute_language] = spoken(&heard.marks);
        Ok(HornPart {
            label: label(part),
            player: player.and_then(|player| sharing.numbers.get(player).copied()),
            head: part.head,
            name_span: part.name.as_ref().map(|name| name.span),
            crook: crooks.start,
            crook_changes: crooks.changes.clone(),
            disagreements: crooks.disagreements.clone(),
            performed: Arc::clone(&performed),
            keys: keys(part, seat, &crooks, heard.keys),
            endurance,
            passes: passes.into(),
            jumps: performing.jumps,
            at_end: performing.at_end,
            growth: growth.clone(),
            notes: heard.notes.into(),
            language,
            mute_language,
            marks: heard.marks.into(),
            rips: heard.rips.into(),
            seat: seat.clone(),
            calls: Vec::new(),
            absences: Vec::new(),
            unclear: Vec::new(),
            too_many: Vec::new(),
            lines: Vec::new(),
        })
    };
    let mut staff = line(None)?;
    let shared = sharing.numbers.len() > 1;
    if shared {
        staff.lines = (0..sharing.numbers.len())
            .map(|player| line(Some(player)))
            .collect::<Result<_, _>>()?;
        staff.take_techniques();
    }
    staff.calls = sharing.calls;
    staff.absences = sharing.absences;
    staff.unclear = sharing.unclear;
    staff.too_many = sharing.too_many;
    Ok(staff)
}

/// Every signature of a part, `later` those in its music, as the player reads it.
fn keys(
    part: &Part,
    seat: &Seat,
    crooks: &Crooks,
    later: Vec<(Quarters, Key, Span)>,
) -> Vec<(Quarters, Key, Span)> {
    let start = part.key.map(|(key, span)| (Quarters::ZERO, key, span));
    let mut keys: Vec<_> = start.into_iter().chain(later).collect();
    for (onset, key, _) in &mut keys {
        if seat.pitch == PagePitch::Sounding && !key.is_none() {
            let up = -crooks.at(*onset).transposition.0;
            // One of more than seven signs is printed as none.
            *key = moved_signature(key, up).unwrap_or(Key::NONE);
        }
    }
    keys
}

/// The languages that most words for hand and bell are in, and for the mute; of several, the one that comes first.
fn spoken(marks: &[PlayedMark]) -> [Option<Language>; 2] {
    let mut counts: [Vec<(Language, usize)>; 2] = Default::default();
    let [others, mutes] = &mut counts;
    for mark in marks {
        let wording = Wording::of(mark.said.instruction());
        let (Some(language), Some(wording)) = (mark.language, wording) else {
            continue;
        };
        let of_mute = wording.is_of_mute();
        // "Mute" alone is a name, and chooses no words.
        if of_mute && mark.words.as_deref().is_some_and(horn::names_mute_alone) {
            continue;
        }
        let counts = if of_mute { &mut *mutes } else { &mut *others };
        match counts.iter_mut().find(|(known, _)| *known == language) {
            Some((_, count)) => *count += 1,
            None => counts.push((language, 1)),
        }
    }
    counts.map(|counts| {
        let most = counts.iter().map(|(_, count)| *count).max()?;
        let first = counts.into_iter().find(|(_, count)| *count == most)?;
        Some(first.0)
    })
}

/// What to call a part.
pub(crate) fn label(part: &Part) -> String {
    part.name
        .as_ref()
        .filter(|name| !name.text.trim().is_empty())
        .map_or_else(|| format!("part {}", part.id), |name| name.text.clone())
}

impl HornPart {
    /// Takes over from the players' own lines how each note of the staff is played: by its first player's hand and mute.
    fn take_techniques(&mut self) {
        let mut next = vec![0; self.lines.len()];
        for note in &mut self.notes {
            for player in note.players.iter() {
                let Some(line) = self.lines.get(player) else {
                    continue;
                };
                let Some(at) = next.get_mut(player) else {
                    continue;
                };
                // A player's line holds that player's notes of the staff, in the same order.
                if let Some(own) = line.notes.get(*at) {
                    if note.players.iter().next() == Some(player) {
                        note.technique = Arc::clone(&own.technique);
                    }
                    *at += 1;
                }
            }
        }
    }

    /// For each note of a shared staff who plays it, by number, with the note on that player's own line; nothing where
    /// one player has the staff alone.
    #[must_use]
    pub fn played_by(&self) -> Vec<Vec<(u8, &PlayedNote)>> {
        let mut lines: Vec<_> = self
            .lines
            .iter()
            .map(|line| (line.player, line.notes.iter().peekable()))
            .collect();
        let owned = self.notes.iter().map(|note| {
            lines
                .iter_mut()
                .filter_map(|(player, own)| {
                    // A player's line holds that player's notes of the staff, in the same order.
                    let own = own.next_if(|own| own.pitch_span == note.pitch_span)?;
                    Some(((*player)?, own))
                })
                .collect()
        });
        owned.collect()
    }

    /// What each player reads: the lines of a shared staff, or the part itself.
    #[must_use]
    pub fn players(&self) -> &[Self] {
        if self.lines.is_empty() {
            std::slice::from_ref(self)
        } else {
            &self.lines
        }
    }
}
