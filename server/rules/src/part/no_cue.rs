//! `part/no-cue`: a long rest with nothing to hold on to.

use horn::Source;
use reading::PlayedNote;
use score::{Intent, NewMark};
use theory::{Seconds, WrittenPitch};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static REST: Setting = Setting {
    name: "rest",
    what: "Seconds of rest after which an entry wants a cue.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::rest_before_cue()),
};

rule! {
    /// A long rest without a word of what others play.
    ///
    /// ## Why it matters
    /// After a minute of counting a player is glad of a cue that shows what is played before the entry. If the rest is
    /// miscounted, the entry is missed or, worse, comes in the wrong place.
    ///
    /// ## What to write instead
    /// A few cue notes or a word in the last bars of the rest ("Oboe (G)"), and the rest divided at rehearsal marks. Where
    /// other parts are in the score, the line that can best be held on to is named, with the note it ends on as the horn
    /// would read it; the fix writes both over the rest, where a rest of its own stands there.
    ///
    /// ## Source
    /// Common practice; after how long is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c4 | Z24 | e4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=60
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c4 | Z20 | "^clarinets" z4 | Z3 | e4 |]
    /// ```
    "part/no-cue", Hint, Part(check), settings: [REST]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let longest = ctx.seconds(&RULE, &REST);
    let landmarks = ctx.landmarks();
    let notes = &ctx.part.notes;
    notes
        .iter()
        .zip(notes.iter().skip(1))
        .filter(|(before, after)| (after.starts - before.ends) >= longest.value)
        .filter(|(before, after)| {
            let end = before.onset + before.length;
            let next = landmarks.partition_point(|onset| *onset <= end);
            landmarks
                .get(next)
                .is_none_or(|onset| *onset >= after.onset)
        })
        .map(|(before, after)| judge(ctx, &longest.source, longest.value, before, after))
        .collect()
}

fn judge(
    ctx: &PartContext<'_>,
    source: &Source,
    longest: Seconds,
    before: &PlayedNote,
    after: &PlayedNote,
) -> Finding {
    let rest = after.starts - before.ends;
    let cue = ctx.reading.cue_before(ctx.part, after);
    let words = cue.as_ref().and_then(|cue| {
        let name = short_name(&ctx.reading.label(cue.part))?;
        Some(format!("{name} ({})", note_name(cue.last)))
    });
    let advice = match &words {
        Some(words) => format!(
            "What can best be held on to is \"{words}\". Write it over the last bars of the rest."
        ),
        None => "Add a few cue notes or a word.".to_owned(),
    };
    let message = format!(
        "{:.0} s of rest come before {} in bar {} without a cue. After so long a player is glad to see what is played just before \
         the entry. {advice}",
        rest.0, after.written, after.number,
    );
    let mut finding = ctx
        .finding(&RULE, after.pitch_span, message, source)
        .at_bar(after.number);
    let place = cue.and_then(|cue| ctx.rest_from(cue.begins, after));
    if let (Some(words), Some((rest, number))) = (words, place) {
        finding = finding.fix(
            Safety::Review,
            format!("Write \"{words}\" over the rest in bar {number}"),
            vec![Intent::AddMark {
                note: rest,
                mark: NewMark::Words(words),
            }],
        );
    }
    ctx.at_tempo(finding, after, rest.0 / longest.0)
}

/// A part's name without number, key and brackets: `Oboe` of `Oboe 1`.
fn short_name(label: &str) -> Option<String> {
    let end = label
        .find(|letter: char| letter.is_ascii_digit() || "([,.\"\\%".contains(letter))
        .unwrap_or(label.len());
    let name = label.get(..end)?;
    let name = name.split(" in ").next()?.trim();
    (!name.is_empty()).then(|| name.to_owned())
}

/// The name of a note as it is spoken, without its octave.
fn note_name(note: WrittenPitch) -> String {
    let name = note.to_string();
    name.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == '-')
        .to_owned()
}
