//! `line/wide-slur`: a slur over a very wide interval.

use reading::{HornPart, PlayedNote};

use super::run;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static WIDEST: Setting = Setting {
    name: "widest",
    what: "The widest interval to slur.",
    kind: Kind::Number("semitones"),
    default: |level| number(horn::widest_slur(level), "semitones"),
};

rule! {
    /// A slur over a very wide interval.
    ///
    /// ## Why it matters
    /// In a slur the air never stops, and the lip slides past every partial between the two notes. Over an octave that
    /// is the horn at its most beautiful; much wider, the notes between are heard or the upper one cracks.
    ///
    /// ## What to write instead
    /// End the slur before the wide interval, so that the note is tongued gently, put a note between, or write one of the
    /// two an octave nearer.
    ///
    /// ## Source
    /// That the lip passes the partials between: the harmonic series. No published limit for slurs was found; the
    /// interval is bellhand's own choice and yours to set. Marked slides and rips are judged by their own rules.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=80
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (C2 a2) | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=80
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// (C2 g2) | e4 |]
    /// ```
    "line/wide-slur", Information, Player(check), settings: [WIDEST]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let widest = ctx.number(&RULE, &WIDEST);
    let slides = slides(ctx.part);
    let attacks = run::attacks(ctx.part);
    attacks
        .windows(2)
        .filter_map(|pair| {
            let &[from, to] = pair else { return None };
            let semitones = (to.height.midi() - from.height.midi()).abs();
            let slurred = from.slurred_to_next || to.tied_from;
            if !slurred || to.since_rest.0 <= 0.0 || f64::from(semitones) <= widest.value {
                return None;
            }
            if slides.binary_search(&from.span.start).is_ok() {
                return None;
            }
            let message = format!(
                "The slur from {} to {} is {semitones} semitones wide. The lip slides past all the partials between, and they \
                 are heard, or the second note cracks. End the slur before it, put a note between, or bring the two an \
                 octave nearer.",
                from.written, to.written,
            );
            Some(
                ctx.finding(&RULE, to.pitch_span, message, &widest.source)
                    .at_bar(to.number)
                    .related(Some(from.pitch_span), "the note before")
                    .fix(
                        Safety::Review,
                        format!("Move {} an octave nearer", to.written),
                        PartContext::octaves(
                            [to.span],
                            if to.height > from.height { -1 } else { 1 },
                        ),
                    ),
            )
        })
        .collect()
}

/// Where the notes begin that a slide or rip leaves, in the order of the text.
fn slides(part: &HornPart) -> Vec<usize> {
    let leave = |from: usize| {
        part.notes
            .get(from)
            .map(|note: &PlayedNote| note.span.start)
    };
    let mut places: Vec<usize> = part.rips.iter().filter_map(|rip| leave(rip.from)).collect();
    places.sort_unstable();
    places
}
