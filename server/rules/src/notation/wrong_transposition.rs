//! `notation/wrong-transposition`: the name and the file disagree.

use horn::Source;

use super::no_transposition::{below, record};
use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A recorded transposition that is not the named crook's.
    ///
    /// ## Why it matters
    /// The player reads the name, "Horn in F", and sounds a fifth lower; the file plays back something else. One
    /// of the two is wrong, and whoever checks the score by ear has been checking other notes than the player
    /// will play.
    ///
    /// ## What to write instead
    /// If the name is right, record its transposition (the fix). If the record is right, rename the part after
    /// the crook it stands for. In Humdrum the record says how notes that sound are printed, so there the notes
    /// may be wrong as well, and no fix is offered.
    ///
    /// ## Source
    /// Transpositions by crook after Grove, *A Dictionary of Music and Musicians*, vol. 1 (1879), "Horn", p. 750.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-2
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in E flat" transpose=-9
    /// c d e f | g4 |]
    /// ```
    "notation/wrong-transposition", Warning, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let crook = &ctx.part.crook;
    let (Some((recorded, span)), Some(named)) = (crook.recorded, crook.crook) else {
        return Vec::new();
    };
    let (heard, right) = (recorded.0.semitones, named.transposition().0.semitones);
    if heard == right {
        return Vec::new();
    }
    let other = horn::Crook::from_semitones(heard)
        .map(|other| {
            format!(
                " If the record is right, this is a {}: rename the part.",
                other.label()
            )
        })
        .unwrap_or_default();
    let fix = record(ctx, named);
    let consequence = if fix.is_some() {
        "The player will follow the name, so what you hear in playback is not what will be played."
    } else {
        "In this notation the notes of the file are what sounds, and the record says how they are printed: if the name is \
         right, the notes themselves or the record must change, and only you can tell which."
    };
    let message = format!(
        "The part is named for a {}, which sounds {} what it reads ({right} semitones), but the file records {heard}. \
         {consequence}{other}",
        named.label(),
        below(right),
    );
    let mut finding = ctx
        .finding(&RULE, span, message, &Source::CommonPractice)
        .related(ctx.part.name_span, "the name that says which crook");
    finding.fixes.extend(fix);
    vec![finding]
}
