//! One measure of one part: its notes, rests and marks, from what is in force before it.

use std::sync::Arc;

use score::bounds::{LONGEST, MOST_IN_BAR};
use score::{
    Barline, Directive, Event, EventKind, Lost, Rest, RunBody, Span, Unreadable, hold_unreadable,
};
use theory::{Letter, Quarters};

use super::barline::{self, Location};
use super::state::State;
use super::{comments, direction, witnesses};
use crate::musicxml::tree::{Element, Tree};

/// A measure as it was read. Its places count from its own start, so it can stand anywhere.
#[derive(Debug)]
pub(crate) struct ReadMeasure {
    pub(super) body: Arc<RunBody>,
    /// What it hands on, and its digest.
    pub(super) exit: State,
    pub(super) exit_digest: u128,
    /// How far its longest line reaches from the barline.
    pub(super) reach: Quarters,
    pub(super) left: Option<Barline>,
    pub(super) right: Option<Barline>,
    pub(super) directives: Vec<Directive>,
    pub(super) slips: Vec<Unreadable>,
    /// Whether its first transposition spells its steps.
    pub(super) spelled: Option<bool>,
}

/// Reads a measure from its start tag to its end; `unended` says that it has none.
pub(super) fn read(text: &str, unended: bool, entry: State) -> ReadMeasure {
    let tree = Tree::read(text, unended);
    let mut reader = Reader {
        state: entry,
        at: Quarters::ZERO,
        reach: Quarters::ZERO,
        events: Vec::new(),
        slips: Vec::new(),
        leader: None,
        accidentals: Vec::new(),
        left: None,
        right: None,
        spelled: None,
    };
    if let Some(top) = tree.top() {
        for element in top.children() {
            if reader.events.len() >= MOST_IN_BAR {
                reader.slip(
                    Span::new(element.span().start, top.span().end),
                    format!("this measure holds more than {MOST_IN_BAR} notes and signs, and is read no further"),
                    "measures next to each other, <measure number=\"1\">…</measure>",
                    Lost::Notes,
                );
                break;
            }
            reader.element(element);
        }
    }
    let directives = tree
        .comments
        .iter()
        .filter_map(|span| comments::directive(text, *span))
        .collect();
    let mut slips = tree.slips;
    slips.append(&mut reader.slips);
    hold_unreadable(&mut slips);
    // Bars are kept for as long as the score is.
    reader.events.shrink_to_fit();
    ReadMeasure {
        body: Arc::new(RunBody::new(reader.events, text.len())),
        exit_digest: reader.state.digest(),
        exit: reader.state,
        reach: reader.reach,
        left: reader.left,
        right: reader.right,
        directives,
        slips,
        spelled: reader.spelled,
    }
}

/// An accidental of this measure: staff, line or space, when, and what it does.
pub(super) struct Met {
    pub(super) staff: usize,
    pub(super) letter: Letter,
    pub(super) octave: i8,
    pub(super) offset: Quarters,
    pub(super) alteration: i8,
}

/// The first note of a chord: where its own events begin, and when it sounds.
#[derive(Clone, Copy)]
pub(super) struct Leader {
    pub(super) event: usize,
    pub(super) offset: Quarters,
    /// How many notes the chord has by now.
    pub(super) notes: usize,
}

pub(super) struct Reader {
    pub(super) state: State,
    pub(super) at: Quarters,
    reach: Quarters,
    pub(super) events: Vec<Event>,
    slips: Vec<Unreadable>,
    pub(super) leader: Option<Leader>,
    pub(super) accidentals: Vec<Met>,
    left: Option<Barline>,
    right: Option<Barline>,
    pub(super) spelled: Option<bool>,
}

impl Reader {
    /// Puts an event down at the present place.
    pub(super) fn push(&mut self, span: Span, kind: EventKind) {
        self.events.push(Event {
            offset: self.at,
            span,
            kind,
        });
    }

    pub(super) fn slip(&mut self, span: Span, problem: String, expected: &str, lost: Lost) {
        self.slips.push(Unreadable {
            span,
            problem,
            expected: expected.to_owned(),
            lost,
            part: None,
        });
    }

    fn element(&mut self, element: Element<'_>) {
        if let "direction" | "sound" = element.name()
            && let Some(wrong) = direction::misread(element)
        {
            self.slip(
                wrong.span(),
                "this is no tempo that can be played".to_owned(),
                "beats a minute, as in <per-minute>84</per-minute>",
                Lost::NoNotes,
            );
        }
        match element.name() {
            "note" => self.note(element),
            "backup" => self.backup(element),
            "forward" => self.forward(element),
            "attributes" => self.attributes(element),
            "direction" => self.direction(element),
            "sound" => {
                for (span, kind) in direction::sound(element) {
                    self.push(span, kind);
                }
            }
            "print" => {
                if element.attribute("new-page").as_deref() == Some("yes") {
                    self.push(element.open(), EventKind::PageBreak);
                }
                for (span, kind) in witnesses::of_print(element) {
                    self.push(span, kind);
                }
            }
            "barline" => self.barline(element),
            "harmony" | "figured-bass" | "listening" | "grouping" | "link" | "bookmark" => {}
            other => self.slip(
                element.open(),
                format!("`<{other}>` is nothing that stands in a measure"),
                "note, backup, forward, attributes, direction, barline or the like",
                Lost::NoNotes,
            ),
        }
    }

    /// An element's `duration` as a length; told when it has none that makes sense.
    pub(super) fn duration(&mut self, element: Element<'_>) -> Quarters {
        let said = element.child("duration");
        if let Some(duration) = said.and_then(|child| self.units(child)) {
            if duration <= LONGEST {
                return duration;
            }
            self.slip(
                said.unwrap_or(element).span(),
                format!("this {} is longer than any can be", element.name()),
                "its length in divisions, as in <duration>24</duration>",
                Lost::Notes,
            );
            return LONGEST;
        }
        self.slip(
            element.open(),
            format!("this {} has no duration", element.name()),
            "its length in divisions, as in <duration>24</duration>",
            Lost::Notes,
        );
        Quarters::ZERO
    }

    /// A number of divisions as a length.
    fn units(&self, element: Element<'_>) -> Option<Quarters> {
        let divisions = self.state.divisions;
        if let Some(units) = element.number::<i64>() {
            return (0..1 << 32)
                .contains(&units)
                .then(|| Quarters::new(units, divisions));
        }
        let units: f64 = element.number()?;
        (0.0..1e6)
            .contains(&units)
            .then(|| Quarters::new((units * 1000.0).round() as i64, 1000).over(divisions))
    }

    pub(super) fn advance(&mut self, length: Quarters) {
        self.at += length;
        self.reach = self.reach.max(self.at);
    }

    fn backup(&mut self, element: Element<'_>) {
        let back = self.duration(element);
        self.leader = None;
        if back > self.at {
            self.slip(
                element.span(),
                "this goes back beyond the barline".to_owned(),
                "a duration no longer than what stands before it in the measure",
                Lost::Notes,
            );
            self.at = Quarters::ZERO;
        } else {
            self.at = self.at - back;
        }
    }

    fn forward(&mut self, element: Element<'_>) {
        let length = self.duration(element);
        self.leader = None;
        if let Some(voice) = element.value("voice") {
            let layer = self.state.layer(Some(&voice));
            let silence = Rest {
                length,
                visible: false,
                whole_bar: false,
                layer,
            };
            self.push(element.span(), EventKind::Rest(silence));
        }
        self.advance(length);
    }

    fn direction(&mut self, element: Element<'_>) {
        let shift = element.child("offset").and_then(|offset| {
            let units: f64 = offset.number().filter(|units: &f64| units.abs() < 1e6)?;
            Some(Quarters::new((units * 1000.0).round() as i64, 1000).over(self.state.divisions))
        });
        let offset = (self.at + shift.unwrap_or(Quarters::ZERO)).max(Quarters::ZERO);
        let said = direction::read(element);
        self.events.extend(
            said.into_iter()
                .map(|(span, kind)| Event { offset, span, kind }),
        );
    }

    fn barline(&mut self, element: Element<'_>) {
        match barline::read(element) {
            (Location::Left, barline) => self.left = Some(barline),
            (Location::Right, barline) => self.right = Some(barline),
            (Location::Middle, _) => {}
        }
    }
}
