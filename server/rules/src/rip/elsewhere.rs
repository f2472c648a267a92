//! Where a rip can start or end instead, without leaving the harmony.

use horn::Height;
use reading::PlayedNote;
use score::Intent;

use crate::context::AmongContext;
use crate::finding::{Finding, Safety};

/// How far from its note another end or start is looked for, in semitones: an octave.
const REACH: i32 = 12;

/// A rip's two notes, and where else each of them can be. Every way is one tube's, with notes to sweep through.
pub(super) struct Elsewhere<'a> {
    from: &'a PlayedNote,
    to: &'a PlayedNote,
    /// The octave below the note it reaches (above, where it goes down): the first choice, since nothing in the harmony
    /// changes.
    octave: Option<Height>,
    /// Notes of the harmony that sounds at the end, the nearest below and above.
    ends: Vec<Height>,
    /// Notes of the harmony that sounds at the start, the nearest below and above.
    starts: Vec<Height>,
}

impl<'a> Elsewhere<'a> {
    /// Looks for them.
    pub(super) fn of(ctx: &AmongContext<'_>, from: &'a PlayedNote, to: &'a PlayedNote) -> Self {
        let instrument = ctx.instrument();
        let rising = to.height > from.height;
        let octave = horn::octave_start(instrument, from.height, to.height);
        let at_end = ctx.reading.around(ctx.part, to).harmony();
        let at_start = ctx.reading.around(ctx.part, from).harmony();
        // Where nobody else sounds, the rip's own two notes are all that is known of the harmony.
        let own = |height: Height| {
            let class = |note: &PlayedNote| (height.midi() - note.height.midi()) % 12 == 0;
            class(from) || class(to)
        };
        let end_fits = |end: Height| {
            (end > from.height) == rising
                && (at_end.has(end.sound().midi()) || (at_end.notes() < 2 && own(end)))
                && horn::sweeps(instrument, from.height, end)
        };
        let start_fits = |start: Height| {
            (to.height > start) == rising
                && (at_start.has(start.sound().midi()) || (at_start.notes() < 2 && own(start)))
                && Some(start) != octave
                && horn::sweeps(instrument, start, to.height)
        };
        Self {
            from,
            to,
            octave,
            ends: around(to.height, end_fits),
            starts: around(from.height, start_fits),
        }
    }

    /// What to do about it, in a sentence; `last` is what else can be done.
    pub(super) fn advice(&self, ctx: &AmongContext<'_>, last: &str) -> String {
        let or = |notes: &[Height], near: &PlayedNote| {
            let names: Vec<String> = notes
                .iter()
                .map(|note| ctx.on_page(*note, near).to_string())
                .collect();
            names.join(" or ")
        };
        let mut ways = Vec::new();
        if let Some(octave) = self.octave {
            let side = if octave < self.to.height {
                "below"
            } else {
                "above"
            };
            let start = ctx.on_page(octave, self.from);
            ways.push(format!("start it on {start}, an octave {side} its end"));
        }
        if !self.ends.is_empty() {
            ways.push(format!("end it on {}", or(&self.ends, self.to)));
        } else if !self.starts.is_empty() {
            ways.push(format!("start it on {}", or(&self.starts, self.from)));
        }
        if ways.is_empty() {
            ways.push("start or end it elsewhere".to_owned());
        }
        ways.push(last.to_owned());
        let advice = ways.join("; or ");
        let first = advice
            .chars()
            .next()
            .map(|first| first.to_ascii_uppercase());
        first
            .into_iter()
            .chain(advice.chars().skip(1))
            .chain(['.'])
            .collect()
    }

    /// The finding with a fix for each way, the octave first.
    pub(super) fn fixes(&self, ctx: &AmongContext<'_>, mut finding: Finding) -> Finding {
        let octave = self
            .octave
            .iter()
            .map(|height| ("Start", self.from, *height));
        let ends = self.ends.iter().map(|height| ("End", self.to, *height));
        let starts = self
            .starts
            .iter()
            .map(|height| ("Start", self.from, *height));
        for (what, note, height) in octave.chain(ends).chain(starts) {
            let to = ctx.on_page(height, note);
            finding = finding.fix(
                Safety::Review,
                format!("{what} the rip on {to}"),
                vec![Intent::MoveNote {
                    note: note.span,
                    from: note.written,
                    to,
                }],
            );
        }
        finding
    }
}

/// The nearest note below a height that fits, and the nearest above.
fn around(height: Height, fits: impl Fn(Height) -> bool) -> Vec<Height> {
    let nearest = |way: i32| {
        let mut notes =
            (1..=REACH).map(|distance| Height::from_midi(height.midi() + way * distance));
        notes.find(|note| fits(*note))
    };
    [nearest(-1), nearest(1)].into_iter().flatten().collect()
}
