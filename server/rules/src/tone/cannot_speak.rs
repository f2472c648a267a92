//! `tone/cannot-speak`: half-stopped, fluttered or brassy where that does not speak.

use horn::{Dynamic, Height, Sourced};
use reading::{Hand, PlayedNote, Tone};
use score::Span;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, dynamic, pitch};

/// The dynamics that can be set.
static DYNAMICS: [&str; 5] = ["p", "mp", "mf", "f", "ff"];

static HALF_STOPPED: Setting = Setting {
    name: "half-stopped",
    what: "The loudest dynamic at which a half-stopped note keeps its sound.",
    kind: Kind::Choice(&DYNAMICS),
    default: |_| dynamic(&DYNAMICS, horn::loudest_half_stopped()),
};

static BRASSY: Setting = Setting {
    name: "brassy",
    what: "The softest dynamic at which a note can be brassy.",
    kind: Kind::Choice(&DYNAMICS),
    default: |_| dynamic(&DYNAMICS, horn::softest_brassy()),
};

static FLUTTER: Setting = Setting {
    name: "flutter",
    what: "The lowest note to be fluttered, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::lowest_flutter()),
};

rule! {
    /// A half-stopped note that is loud, a brassy note that is soft, or a fluttered note that is very low.
    ///
    /// ## Why it matters
    /// Each of these sounds has a place where it lives. Half-stopped is a veil, and loud air tears it: what comes out is
    /// neither stopped nor open, and out of tune. Brassy is the metal ringing under strong air, and with soft air it does
    /// not ring. Very low, the flutter of the tongue shakes the slow lip out of its note.
    ///
    /// ## What to write instead
    /// Half-stopped: mezzo forte at most, or "stopped" for a biting sound. Brassy: mezzo piano at least, better forte;
    /// for an edge at a soft dynamic, "stopped". Flutter: an octave higher.
    ///
    /// ## Source
    /// Half-stopped is most effective from pp to mf: *List of horn techniques*, Wikipedia, after Hill. Brassy as a hard,
    /// forced tone: common practice. Where brassy ends and how low the flutter speaks was found nowhere; these are this
    /// project's choice, and all three are yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!"^half-stopped" e c d e | "^open" c4 |]
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !p!"^brassy" e c d e | "^flutter-tongue" !mf!^F,2 z2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!"^half-stopped" e c d e | "^open" !mp!"^brassy" e4 | "^flutter-tongue" !mf!G,2 z2 |]
    /// ```
    "tone/cannot-speak", Warning, Player(check), settings: [HALF_STOPPED, BRASSY, FLUTTER], rests_on: Crook
}

/// What keeps a note from speaking as it is asked.
#[derive(Clone, Copy, PartialEq)]
enum Why {
    HalfStoppedLoud(Span),
    BrassySoft(Span),
    FlutterLow,
}

/// What the house holds to be the limits.
struct Limits {
    half_stopped: Sourced<&'static str>,
    brassy: Sourced<&'static str>,
    flutter: Sourced<Height>,
}

impl Limits {
    fn why(&self, note: &PlayedNote) -> Option<Why> {
        let than = |word: &str| Dynamic::read(word);
        if note.technique.hand == Hand::HalfStopped
            && let Some((dynamic, mark)) = note.marked.dynamic
            && than(self.half_stopped.value).is_some_and(|loudest| dynamic > loudest)
        {
            return Some(Why::HalfStoppedLoud(mark));
        }
        match note.technique.tone {
            Tone::Usual => None,
            Tone::Brassy => {
                let (dynamic, mark) = note.marked.dynamic?;
                let soft = than(self.brassy.value).is_some_and(|softest| dynamic < softest);
                soft.then_some(Why::BrassySoft(mark))
            }
            Tone::Flutter => (note.height < self.flutter.value).then_some(Why::FlutterLow),
        }
    }
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let limits = Limits {
        half_stopped: ctx.choice(&RULE, &HALF_STOPPED),
        brassy: ctx.choice(&RULE, &BRASSY),
        flutter: ctx.pitch(&RULE, &FLUTTER),
    };
    let why = |note: &PlayedNote| {
        // A hairpin since the mark leaves the loudness open.
        limits.why(note).filter(|why| {
            !matches!(why, Why::BrassySoft(_)) || !ctx.part.growth.since_mark(note.onset)
        })
    };
    ctx.part
        .notes
        .chunk_by(|a, b| why(a) == why(b))
        .filter_map(|notes| {
            let note = notes.first()?;
            Some(said(ctx, &limits, note, why(note)?))
        })
        .collect()
}

fn said(ctx: &PartContext<'_>, limits: &Limits, note: &PlayedNote, why: Why) -> Finding {
    let held = &note.technique;
    let (message, source, dynamic, mark) = match why {
        Why::HalfStoppedLoud(dynamic) => (
            format!(
                "{} is half-stopped and loud. Loud air tears the veil: what comes out is neither stopped nor open, and out of \
                 tune. Write {} at most, or \"stopped\" for a biting sound.",
                ctx.name(note),
                limits.half_stopped.value,
            ),
            limits.half_stopped.source,
            Some(dynamic),
            held.hand_mark,
        ),
        Why::BrassySoft(dynamic) => (
            format!(
                "{} is to be brassy and soft. The metal rings only under strong air, so at this dynamic nothing of it is \
                 heard. Write {} at least, or \"stopped\" for an edge at a soft dynamic.",
                ctx.name(note),
                limits.brassy.value,
            ),
            limits.brassy.source,
            Some(dynamic),
            held.tone_mark,
        ),
        Why::FlutterLow => (
            format!(
                "{} is too low for a flutter. Below {} the tongue shakes the slow lip out of its note. Write it an octave \
                 higher, or without the flutter.",
                ctx.name(note),
                limits.flutter.value,
            ),
            limits.flutter.source,
            None,
            held.tone_mark,
        ),
    };
    ctx.finding(&RULE, note.pitch_span, message, &source)
        .at_bar(note.number)
        .related(mark, "the mark that asks for this sound")
        .related(dynamic, "the dynamic in force")
}
