//! `marks/second-time`: a repeat that finds the hand, the mute or the bell otherwise than the first time.

use std::cell::LazyCell;
use std::collections::{HashMap, HashSet};

use horn::{Source, Wording};
use reading::{Hand, Jump, Mute, PlayedMark, Technique, which_time};
use score::{Intent, NewMark, Span};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A repeat, a D.C. or a D.S. that leads back to where the mute, the hand or the bell was otherwise the first time.
    ///
    /// ## Why it matters
    /// The mute that goes in before the end of a repeat is still in when its beginning comes again, unless something takes it
    /// out. Half of a section will play the second time muted and the other half will not, and nobody is wrong.
    ///
    /// ## What to write instead
    /// Say at the beginning of the repeat, or in the rest before its end, how it is played (the fix). If the second time is
    /// meant to sound otherwise, write so: "2nd time con sord.".
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// |: e c d e | z4 | z4 | "^con sord." c4 | z4 :| "^senza sord." z4 | c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// |: "^senza sord." e c d e | z4 | z4 | "^con sord." c4 | z4 :| "^senza sord." z4 | c4 |]
    /// ```
    "marks/second-time", Warning, Player(check)
}

/// What of the way in which the horn is held.
struct Kept {
    /// The mark that it is kept by, as it is the second time.
    by: Option<Span>,
    /// What its sentence says: how it is then, and how it was the first time.
    now: &'static str,
    was: &'static str,
    /// The word for how it was the first time.
    word: Wording,
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let marks = LazyCell::new(|| {
        let marks = ctx.part.marks.iter();
        marks.map(|mark| (mark.span, mark)).collect()
    });
    let mut findings = Vec::new();
    // Of several repeats that keep the same, the first shows what is meant.
    let mut told = HashSet::new();
    for jump in &ctx.part.jumps {
        for kept in kept(jump).into_iter().flatten() {
            if told.insert((jump.next, kept.word)) {
                findings.extend(otherwise(ctx, &marks, jump, &kept));
            }
        }
    }
    findings
}

/// What is held over a jump without a word, and is otherwise on the page.
fn kept(jump: &Jump) -> [Option<Kept>; 3] {
    let Jump {
        before,
        after,
        on_page,
        ..
    } = jump;
    let mute = (before.mute == after.mute && after.muted() != on_page.muted())
        .then(|| mute(after, on_page));
    let hand =
        (before.hand == after.hand && after.hand != on_page.hand).then(|| hand(after, on_page));
    let bell =
        (before.bell_up == after.bell_up && after.bell_up != on_page.bell_up).then(|| bell(after));
    [mute, hand, bell]
}

const fn mute(after: &Technique, on_page: &Technique) -> Kept {
    let by = after.mute_mark;
    match on_page.mute {
        Mute::Out => Kept {
            by,
            now: "the mute is still in",
            was: "the first time it was out",
            word: Wording::MuteOut,
        },
        Mute::Usual | Mute::Stopping => Kept {
            by,
            now: "the mute is out",
            was: "the first time it was in",
            word: Wording::MuteIn,
        },
    }
}

const fn hand(after: &Technique, on_page: &Technique) -> Kept {
    let (was, word) = match on_page.hand {
        Hand::Open => ("the first time the horn was open", Wording::Open),
        Hand::Stopped => ("the first time the horn was stopped", Wording::Stopped),
        Hand::HalfStopped => (
            "the first time the horn was half-stopped",
            Wording::HalfStopped,
        ),
    };
    let now = match after.hand {
        Hand::Open => "the horn is open",
        Hand::Stopped => "the horn is still stopped",
        Hand::HalfStopped => "the horn is still half-stopped",
    };
    Kept {
        by: after.hand_mark,
        now,
        was,
        word,
    }
}

const fn bell(after: &Technique) -> Kept {
    let by = after.bell_mark;
    if after.bell_up {
        Kept {
            by,
            now: "the bell is still up",
            was: "the first time it was down",
            word: Wording::BellsDown,
        }
    } else {
        Kept {
            by,
            now: "the bell is down",
            was: "the first time it was up",
            word: Wording::BellsUp,
        }
    }
}

fn otherwise(
    ctx: &PartContext<'_>,
    marks: &HashMap<Span, &PlayedMark>,
    jump: &Jump,
    kept: &Kept,
) -> Option<Finding> {
    let next = ctx.part.notes.get(jump.next)?;
    let mark = kept.by.and_then(|by| marks.get(&by).copied());
    let word = ctx.word(kept.word, mark.and_then(|mark| mark.language));
    if mark.is_some_and(PartContext::says_to_the_end) {
        return None;
    }
    let from = mark.map_or_else(String::new, |mark| format!(" from bar {}", mark.number));
    let message = format!(
        "At bar {}{}, {}{from}; {}, and nothing says which is meant. One player will change it, the next will not. Write \
         \"{word}\" there if it is to be as it was, or say what is to be otherwise.",
        next.number,
        which_time(jump.time),
        kept.now,
        kept.was,
    );
    let finding = ctx
        .finding(&RULE, next.span, message, &Source::CommonPractice)
        .at_bar(next.number)
        .related(kept.by, "the mark that still holds");
    Some(finding.fix(
        Safety::Review,
        format!("Write \"{word}\" in bar {}", next.number),
        vec![Intent::AddMark {
            note: next.span,
            mark: NewMark::Words(word),
        }],
    ))
}
