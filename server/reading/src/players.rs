//! Who plays each note of a staff that several players read: by voices, chords, rests and words.

use std::collections::HashMap;

use horn::{Addressed, Instruction, PartName};
use score::{Bar, Event, EventKind, Kinds, Mark, MarkKind, Note, Part, Placed, Span};
use theory::Quarters;

use crate::away::{Absence, Away};
use crate::words::{KnownWords, Words};

/// More players than share any staff; names are read to no more.
const MOST: usize = 16;

/// A set of the players of a staff, the first being 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Players(u16);

impl Players {
    /// Nobody.
    pub const NONE: Self = Self(0);

    /// The first so many.
    #[must_use]
    pub const fn first(count: usize) -> Self {
        if count >= MOST {
            Self(u16::MAX)
        } else {
            Self((1 << count) - 1)
        }
    }

    /// One player.
    #[must_use]
    pub const fn one(player: usize) -> Self {
        if player < MOST {
            Self(1 << player)
        } else {
            Self(0)
        }
    }

    /// Whether a player is among them.
    #[must_use]
    pub const fn contains(self, player: usize) -> bool {
        player < MOST && self.0 >> player & 1 == 1
    }

    /// Whether it is nobody.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many they are.
    #[must_use]
    pub const fn count(self) -> usize {
        self.0.count_ones() as usize
    }

    /// The players, the first being 0.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        (0..MOST).filter(move |&player| self.contains(player))
    }

    pub(crate) const fn without(self, others: Self) -> Self {
        Self(self.0 & !others.0)
    }

    pub(crate) const fn with(self, others: Self) -> Self {
        Self(self.0 | others.0)
    }
}

/// What an event of a part is to its players.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Share {
    /// Who plays the note, keeps the rest, or is spoken to by the mark.
    pub(crate) to: Players,
    /// Who has nothing to play while this note sounds, though no rest is printed.
    pub(crate) silent: Players,
}

/// Words that say who plays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Call {
    /// Where they stand, from the start of the piece.
    pub span: Span,
    /// The bar's number.
    pub number: u32,
    /// Whom they name.
    pub to: Addressed,
    /// Whether the staff has those players.
    pub fits: bool,
}

/// Who shares a staff, and what each event is to them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Sharing {
    /// The players' numbers, as the name gives them.
    pub(crate) numbers: Vec<u8>,
    /// In the order of the part's events.
    pub(crate) shares: Vec<Share>,
    /// Words that say who plays, in their order.
    pub(crate) calls: Vec<Call>,
    /// Single lines that do not say who plays them: the first note of each, by its place among the part's notes.
    pub(crate) unclear: Vec<usize>,
    /// Where one player is given several notes at once: the second note of each such chord, or the first note of a bar
    /// that other voices leave nobody to play, by its place among the part's notes.
    pub(crate) too_many: Vec<usize>,
    /// Where players have taken up another instrument, in the order in which they leave.
    pub(crate) absences: Vec<Absence>,
    /// What all words of the part say.
    pub(crate) words: KnownWords,
}

/// Who is to play a single line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mode {
    /// Nobody has said.
    Unsaid,
    /// Said to be these.
    Said(Players),
}

/// One moment's notes on one layer: their places among the bar's events, and their pitches on the page.
struct Chord {
    notes: Vec<(usize, i32)>,
    layer: u8,
    tied: bool,
    grace: bool,
    /// The signs that belong to it, by their places among the bar's events.
    signs: Vec<usize>,
}

/// Works out who plays what.
pub(crate) fn share(part: &Part, name: &PartName) -> Sharing {
    let several = holds_several(part);
    let numbers = numbers(name, several);
    let all = Players::first(numbers.len());
    let mut sharing = Sharing {
        numbers,
        ..Sharing::default()
    };
    let mut walk = Walk::new(all, several, !name.players.is_empty());
    for (index, bar) in part.bars.iter().enumerate() {
        if walk.all.count() == 1 && !bar.holds(Kinds::WORDS.and(Kinds::FURTHER)) {
            walk.plain_bar(bar, &mut sharing);
        } else {
            let events: Vec<_> = bar.events(index).collect();
            walk.bar(&events, bar.number, &mut sharing);
        }
    }
    sharing.absences = walk.away.absences;
    sharing
}

/// The players' numbers: as named, or as many as the staff seems to hold.
fn numbers(name: &PartName, several: bool) -> Vec<u8> {
    let named = &name.players;
    match named.len() {
        0 if name.plural || several => vec![1, 2],
        0 => vec![1],
        count => named.iter().copied().take(count.min(MOST)).collect(),
    }
}

/// Whether two notes ever sound at once.
fn holds_several(part: &Part) -> bool {
    part.events_of(Kinds::FURTHER)
        .any(|placed| matches!(placed.event.kind, EventKind::Note(_)))
}

struct Walk {
    all: Players,
    mode: Mode,
    /// Whether the question who plays a single line was asked, or answered, since two lines stood here.
    asked: bool,
    /// Whether one player is asked for several notes at once.
    multiphonics: bool,
    /// Whether the name numbers its players.
    named: bool,
    /// Who last played each pitch, so that a note held on stays with them.
    held: HashMap<i32, Players>,
    /// The layers of the bar, those of hidden rests among them.
    every: Vec<u8>,
    /// Who has taken up another instrument.
    away: Away,
    /// Notes of the horn so far.
    notes: usize,
}

impl Walk {
    fn new(all: Players, several: bool, named: bool) -> Self {
        Self {
            all,
            mode: Mode::Unsaid,
            // A staff that nowhere holds two lines raises no question.
            asked: !several,
            multiphonics: false,
            named,
            held: HashMap::new(),
            every: Vec::new(),
            away: Away::default(),
            notes: 0,
        }
    }

    /// Takes in a bar with one line and no words, on a staff for one player: whoever is at the horn plays it.
    fn plain_bar(&mut self, bar: &Bar, sharing: &mut Sharing) {
        let share = self.present(Share {
            to: self.all,
            silent: Players::NONE,
        });
        for run in &bar.runs {
            let events = &run.body.events;
            sharing.shares.extend(events.iter().map(|_| share));
            if !share.to.is_empty() {
                let note = |event: &&Event| matches!(event.kind, EventKind::Note(_));
                self.notes += events.iter().filter(note).count();
            }
        }
    }

    /// Shares a bar's events out.
    fn bar(&mut self, events: &[Placed<'_>], number: u32, sharing: &mut Sharing) {
        let base = sharing.shares.len();
        let shared = Share {
            to: self.all,
            silent: Players::NONE,
        };
        sharing.shares.resize(base + events.len(), shared);
        let layers = layers(events, false);
        self.every = self::layers(events, true);
        if layers.len() > self.all.count() && self.away.players.is_empty() && !self.multiphonics {
            let together = together(events, self.all.count());
            sharing
                .too_many
                .extend(together.map(|note| self.notes + note));
        }
        let mut waiting: Option<Chord> = None;
        let mut signs: Vec<usize> = Vec::new();
        for (place, placed) in events.iter().enumerate() {
            sharing.shares[base + place] = self.present(shared);
            match &placed.event.kind {
                EventKind::Note(note) => {
                    if !note.chord {
                        self.settle(waiting.take(), base, &layers, sharing);
                    }
                    let chord = waiting.get_or_insert_with(|| Chord {
                        notes: Vec::new(),
                        layer: note.layer,
                        tied: note.tied_from,
                        grace: note.grace,
                        signs: std::mem::take(&mut signs),
                    });
                    chord.notes.push((place, note.written.midi()));
                }
                EventKind::Rest(rest) => {
                    self.settle(waiting.take(), base, &layers, sharing);
                    let to = match (layers.contains(&rest.layer), layers.len()) {
                        (true, 2..) => self.of_layer(&layers, rest.layer),
                        (true, _) | (false, 0) => self.all,
                        // Nothing is printed, so nobody is told to rest.
                        (false, _) => Players::NONE,
                    };
                    sharing.shares[base + place] = self.present(Share { to, ..shared });
                }
                EventKind::Mark(Mark {
                    kind: MarkKind::Sign(_),
                    ..
                }) => signs.push(place),
                EventKind::Mark(Mark {
                    kind: MarkKind::Words(text),
                    ..
                }) => {
                    self.settle(waiting.take(), base, &layers, sharing);
                    let (mode, asked) = (self.mode, self.asked);
                    let text = text.text.as_str();
                    let words = sharing.words.read(text);
                    let to = self.address(text, &words, placed.span(), number, sharing);
                    let share = self.present(Share { to, ..shared });
                    // The words that change the instrument are still said to whoever changes.
                    let all = self.all;
                    let taken = words.taken_up();
                    let changes = self.away.change(text, taken, placed, number, (to, all));
                    sharing.shares[base + place] = if changes {
                        // They say who changes, not who plays on.
                        (self.mode, self.asked) = (mode, asked);
                        Share { to, ..shared }
                    } else {
                        share
                    };
                }
                _ => {}
            }
        }
        self.settle(waiting.take(), base, &layers, sharing);
        // A bar of rest for all ends nothing, but two voices in a bar do.
        if layers.len() > 1 {
            self.asked = false;
            self.mode = Mode::Unsaid;
        }
    }

    /// Takes words in; whom they speak to.
    fn address(
        &mut self,
        text: &str,
        words: &Words,
        span: Span,
        number: u32,
        sharing: &mut Sharing,
    ) -> Players {
        self.multiphonics |= words.multiphonics;
        let Some(address) = &words.address else {
            self.solo(text, words);
            return match self.mode {
                Mode::Said(players) => players,
                Mode::Unsaid => self.all,
            };
        };
        let count = self.all.count();
        let sure = address.sure;
        let (players, fits) = match &address.to {
            Addressed::Others => return Players::NONE,
            Addressed::All => (self.all, true),
            // On a staff for four "a2" is for two of them; which two, the page leaves to the players.
            Addressed::Together(together) => (self.all, usize::from(*together) <= count),
            Addressed::Players(named) => {
                let places = named.iter().map(|player| sharing.place(*player));
                let found = places.clone().flatten().map(Players::one);
                let fits = places.clone().all(|place| place.is_some());
                (found.fold(Players::NONE, Players::with), fits)
            }
        };
        // A figure that names no player here counts something else: bars of rest, endings.
        let figure = matches!(address.to, Addressed::Players(_));
        if figure && !fits && (!sure || count == 1 && words.terms.is_empty()) {
            return self.all;
        }
        // In the part of one the player's own number says nothing new.
        if figure && count == 1 && fits {
            return self.all;
        }
        sharing.calls.push(Call {
            span,
            number,
            to: address.to.clone(),
            fits,
        });
        // What is said to a player who is not here is nobody's.
        if players.is_empty() {
            return if self.named { Players::NONE } else { self.all };
        }
        self.mode = Mode::Said(players);
        self.asked = true;
        players
    }

    /// Takes "solo" in, which is the first player's where it names nobody, and "soli", which is for all.
    fn solo(&mut self, text: &str, words: &Words) {
        let folded = text.to_lowercase();
        if !folded.contains("sol") || !words.ask(&Instruction::Solo) {
            return;
        }
        let several = folded
            .split(|c: char| !c.is_alphabetic())
            .any(|word| word == "soli");
        match (several, self.mode) {
            (true, _) => self.mode = Mode::Said(self.all),
            // Whoever plays already has the solo.
            (false, Mode::Said(players)) if players.count() == 1 => {}
            (false, _) => self.mode = Mode::Said(Players::one(0)),
        }
        self.asked = true;
    }

    /// What a share leaves to those who are at the horn.
    const fn present(&self, share: Share) -> Share {
        Share {
            to: share.to.without(self.away.players),
            silent: share.silent.with(self.away.players),
        }
    }

    /// The players of one of a bar's layers; the topmost layer is the first player's.
    fn of_layer(&self, layers: &[u8], layer: u8) -> Players {
        let place = layers.iter().position(|one| *one == layer).unwrap_or(0);
        group(self.all, layers.len(), place)
    }

    /// Shares a chord, or a single note, out.
    fn settle(&mut self, chord: Option<Chord>, base: usize, layers: &[u8], sharing: &mut Sharing) {
        let Some(mut chord) = chord else { return };
        let many = layers.len() > 1;
        let players = if many {
            self.of_layer(layers, chord.layer)
        } else {
            self.all
        };
        let present = players.without(self.away.players);
        let first = self.notes;
        if chord.notes.len() > players.count() && !present.is_empty() && !self.multiphonics {
            sharing.too_many.push(first + 1);
        }
        if let [(single, pitch)] = chord.notes[..] {
            let held = self.held.get(&pitch).filter(|_| chord.tied && !many);
            let playing = match (held, self.mode) {
                (Some(held), _) => *held,
                (None, Mode::Said(said)) if !many => said,
                // A hidden rest is no word to the players, but it shows whom the line was meant for.
                (None, Mode::Unsaid) if !many => self.of_layer(&self.every, chord.layer),
                _ => players,
            };
            self.held.insert(pitch, playing);
            let silent = if many {
                Players::NONE
            } else {
                self.all.without(playing)
            };
            let share = self.present(Share {
                to: playing,
                silent,
            });
            sharing.shares[base + single] = share;
            for sign in chord.signs {
                sharing.shares[base + sign].to = share.to;
            }
            self.notes += usize::from(!share.to.is_empty());
            // With one of two at another instrument it is clear who plays.
            let asks = self.away.players.is_empty()
                && !many
                && self.all.count() > 1
                && !chord.tied
                && !chord.grace;
            if asks && !self.asked {
                sharing.unclear.push(first);
                self.asked = true;
            }
            return;
        }
        for sign in std::mem::take(&mut chord.signs) {
            sharing.shares[base + sign].to = present;
        }
        chord
            .notes
            .sort_by_key(|(_, pitch)| std::cmp::Reverse(*pitch));
        let count = chord.notes.len();
        for (line, (event, pitch)) in chord.notes.into_iter().enumerate() {
            let to = group(players, count, line);
            self.held.insert(pitch, to);
            let share = self.present(Share {
                to,
                silent: Players::NONE,
            });
            sharing.shares[base + event] = share;
            self.notes += usize::from(!share.to.is_empty());
        }
        if !many && !chord.grace && self.all.count() > 1 {
            self.mode = Mode::Unsaid;
            self.asked = false;
        }
    }
}

impl Sharing {
    /// A player's place on the staff by number: as the name numbers them.
    fn place(&self, number: u8) -> Option<usize> {
        self.numbers.iter().position(|one| *one == number)
    }
}

/// The first note of a bar that sounds while as many other layers sound as there are players, by its place among the
/// bar's notes.
fn together(events: &[Placed<'_>], players: usize) -> Option<usize> {
    let notes = events.iter().filter_map(|placed| match &placed.event.kind {
        EventKind::Note(note) => Some((placed.event.offset, note)),
        _ => None,
    });
    let mut notes: Vec<(usize, Quarters, &Note)> = notes
        .enumerate()
        .filter(|(_, (_, note))| !note.grace && !note.chord)
        .map(|(place, (offset, note))| (place, offset, note))
        .collect();
    notes.sort_by_key(|(place, offset, _)| (*offset, *place));
    // What each layer sounds, and until when.
    let mut sounding: Vec<(u8, i32, Quarters)> = Vec::new();
    notes.into_iter().find_map(|(place, offset, note)| {
        sounding.retain(|(layer, _, until)| *until > offset && *layer != note.layer);
        sounding.push((note.layer, note.written.midi(), offset + note.length));
        // One note with two stems is one note.
        let mut pitches: Vec<i32> = sounding.iter().map(|(_, pitch, _)| *pitch).collect();
        pitches.sort_unstable();
        pitches.dedup();
        (pitches.len() > players).then_some(place)
    })
}

/// The layers that have notes or rests in a bar, the topmost first; only those in print, or `hidden` ones too.
fn layers(events: &[Placed<'_>], hidden: bool) -> Vec<u8> {
    let mut layers: Vec<u8> = events
        .iter()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some(note.layer),
            EventKind::Rest(rest) if rest.visible || hidden => Some(rest.layer),
            _ => None,
        })
        .collect();
    layers.sort_unstable();
    layers.dedup();
    layers
}

/// Those of some players who take one of so many lines, the highest line first.
fn group(players: Players, lines: usize, line: usize) -> Players {
    let count = players.count();
    let lines = lines.max(1);
    // More lines than players: the last player is left with all that remain.
    let from = (line * count / lines).min(count.saturating_sub(1));
    let to = ((line + 1) * count / lines).max(from + 1);
    players
        .iter()
        .skip(from)
        .take(to - from)
        .fold(Players::NONE, |set, player| set.with(Players::one(player)))
}

#[cfg(test)]
mod tests;
