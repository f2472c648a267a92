//! `notation/no-transposition`: the file does not say how the part sounds.

use horn::{Crook, Source};
use reading::CrookSaid;
use score::Intent;

use super::witnesses;
use crate::context::{AmongContext, PartContext};
use crate::finding::{Finding, Fix, Safety};
use crate::rule::rule;

rule! {
    /// A horn part whose file does not record its transposition.
    ///
    /// ## Why it matters
    /// A horn in F sounds a perfect fifth below what it reads. When the file does not record that, playback, a
    /// full score in concert pitch, or a part written out for another crook all come out in the wrong key, and
    /// the wrong notes reach the stand.
    ///
    /// ## What to write instead
    /// Record what must be added to the written notes: in ABC, `transpose=-7` on the part's `V:` or `K:` field
    /// for a horn in F. The notes themselves stay as they are.
    ///
    /// ## Source
    /// Transpositions by crook after Grove, *A Dictionary of Music and Musicians*, vol. 1 (1879), "Horn", p. 750;
    /// `transpose=` after the ABC standard 2.1, section 4.6.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F"
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    "notation/no-transposition", Warning, PartAmong(check), rests_on: Page
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let crook = &ctx.part.crook;
    let (None, Some(named)) = (crook.recorded, crook.crook) else {
        return Vec::new();
    };
    let semitones = named.transposition().0.semitones;
    let data_sound = ctx.score.notes_sound;
    // A crook that sounds as written needs nothing recorded; one that is in doubt must be named first. Where data are the
    // sound, it is the missing record that leaves it in doubt.
    let named_first = !(crook.settled || data_sound && crook.choices.is_empty());
    if semitones == 0 || named_first {
        return Vec::new();
    }
    let taken_for_granted = crook.said == CrookSaid::Assumed && !witnesses::all_in_f(ctx);
    let safe = !taken_for_granted && witnesses::none_but(ctx, named);
    let safety = if safe { Safety::Safe } else { Safety::Review };
    let warning = if data_sound {
        " In this notation the notes of the file are what sounds; if the player's notes were entered instead, they must be \
         moved as well."
    } else {
        ""
    };
    let message = format!(
        "Nothing here records how the part sounds. A {} sounds {} what it reads; without that, playback and any \
         concert-pitch score are in the wrong key. Record it ({semitones} semitones); the notes stay as they are.{warning}",
        named.label(),
        below(semitones),
    );
    let mut finding = ctx.finding(&RULE, ctx.part.head, message, &Source::CommonPractice);
    finding.fixes.push(record(ctx, named, safety));
    vec![finding]
}

/// The fix that records a crook's transposition.
pub(super) fn record(ctx: &PartContext<'_>, crook: Crook, safety: Safety) -> Fix {
    Fix {
        title: format!("Record the transposition of a {}", crook.label()),
        safety,
        intents: vec![Intent::SetTransposition {
            part: ctx.part_ref(),
            transposition: crook.transposition(),
        }],
    }
}

/// A number of semitones as a player says it.
pub(super) fn below(semitones: i32) -> String {
    let names = [
        "at the pitch of",
        "a semitone below",
        "a tone below",
        "a minor third below",
        "a major third below",
        "a perfect fourth below",
        "a tritone below",
        "a perfect fifth below",
        "a minor sixth below",
        "a major sixth below",
        "a minor seventh below",
        "a major seventh below",
        "an octave below",
        "an octave and a semitone below",
        "an octave and a tone below",
        "an octave and a minor third below",
        "an octave and a major third below",
    ];
    usize::try_from(-semitones)
        .ok()
        .and_then(|index| names.get(index))
        .map_or_else(
            || {
                format!(
                    "{} semitones {}",
                    semitones.abs(),
                    if semitones > 0 { "above" } else { "below" }
                )
            },
            |name| (*name).to_owned(),
        )
}
