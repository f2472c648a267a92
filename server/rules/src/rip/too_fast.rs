//! `rip/too-fast`: no time for the notes on the way.

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static PARTIAL: Setting = Setting {
    name: "partial",
    what: "Seconds each partial on the way needs to be heard.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_for_ripped_partial()),
};

static BEFORE: Setting = Setting {
    name: "before",
    what: "Seconds the first note must stand before the rip begins.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_before_rip()),
};

rule! {
    /// A rip from a note so short that the notes on the way have no time.
    ///
    /// ## Why it matters
    /// A rip is played late, at the end of the note it leaves, and it is made of the partials brushed on the way.
    /// When that note is over almost at once, the player leaves the partials out, and a plain slur or a smudge
    /// remains.
    ///
    /// ## What to write instead
    /// Make the first note longer, rip over a shorter distance, or write a slur.
    ///
    /// ## Source
    /// Played at the end of the lower note: common practice. The seconds are bellhand's own choice, set beside the
    /// 11.9 notes a second measured for lip trills by Iltis et al., *Medical Problems of Performing Artists* 32
    /// (2017), 209-214.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (G2 g2) z12 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/16
    /// Q:1/4=120
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^gliss." (G8 g4) z4 |]
    /// ```
    "rip/too-fast", Warning, Player(check), settings: [PARTIAL, BEFORE]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let notes = &ctx.part.notes;
    let (partial, before) = (ctx.seconds(&RULE, &PARTIAL), ctx.seconds(&RULE, &BEFORE));
    ctx.part
        .sounding_rips()
        .filter_map(|(rip, from, to)| {
            let best = *horn::rips(ctx.instrument(), from.height, to.height).first()?;
            let passed = best.between().len();
            // The note may have been held over from one before.
            let back = notes.len().saturating_sub(rip.from + 1);
            let start = notes
                .iter()
                .rev()
                .skip(back)
                .filter(|note| note.leads())
                .take_while(|note| note.height == from.height)
                .find(|note| !note.tied_from)
                .unwrap_or(from);
            let free = (to.starts - start.starts).0;
            let needed = before.value.0 + partial.value.0 * passed as f64;
            if passed == 0 || start.grace || free >= needed - 1e-6 {
                return None;
            }
            let message = format!(
                "From {} to {} the rip passes {passed} partials, and there are only {free:.2} s for the first note and the rip together; they \
                 need about {needed:.2} s ({}). The rip will shrink to a slur. Make the first note longer, or rip over a shorter \
                 distance.",
                from.written,
                to.written,
                ctx.tempo_words(from),
            );
            Some(
                ctx.at_tempo(
                    ctx.finding(&RULE, rip.mark, message, &partial.source)
                        .at_bar(from.number)
                        .related(Some(from.pitch_span), "the note it leaves")
                        .related(Some(to.pitch_span), "the note it reaches"),
                    from,
                    free / needed,
                ),
            )
        })
        .collect()
}
