//! `part/no-cue`: a long rest with nothing to hold on to.

use horn::Source;
use reading::{Cue, CueLine, PlayedNote};
use score::{Cues, Intent, NewCue, NewMark};
use theory::{Seconds, WrittenPitch};

use crate::context::AmongContext;
use crate::finding::{Finding, Fix, Safety};
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
    /// other parts are in the score, the line that can best be held on to is named ("Vl. II" where there are two violins),
    /// with the note it ends on as the horn would read it. In MusicXML a fix writes the line itself as small notes over the
    /// last bars of the rest, transposed for this horn, and by octaves where it would lie off the staff, which the words
    /// then say (`8va`); another, in all notations, writes the name and the note. `bellhand rewrite --cues` does so for
    /// whole parts.
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
    "part/no-cue", Hint, PartAmong(check), settings: [REST]
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
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
    ctx: &AmongContext<'_>,
    source: &Source,
    longest: Seconds,
    before: &PlayedNote,
    after: &PlayedNote,
) -> Finding {
    let rest = after.starts - before.ends;
    let cue = ctx.reading.cue_before(ctx.part, after);
    let cue = cue.and_then(|cue| Some((ctx.cue_name(cue.part)?, cue)));
    let words = cue
        .as_ref()
        .map(|(name, cue)| format!("{name} ({})", note_name(cue.last)));
    let advice = match &words {
        Some(words) => format!(
            "What can best be held on to is \"{words}\". Write it over the last bars of the rest."
        ),
        None => "Add a few cue notes or a word.".to_owned(),
    };
    let shows = ctx.score.cues == Cues::SmallNotes;
    let line = cue.as_ref().filter(|_| shows);
    let line = line.map(|(_, cue)| ctx.reading.cue_line(ctx.part, cue, before, after));
    let unshown = match &line {
        Some(Err(why)) => format!(" It cannot be written as small notes: {why}."),
        _ => String::new(),
    };
    let message = format!(
        "{:.0} s of rest come before {} in bar {} without a cue. After so long a player is glad to see what is played just before \
         the entry. {advice}{unshown}",
        rest.0, after.written, after.number,
    );
    let mut finding = ctx
        .finding(&RULE, after.pitch_span, message, source)
        .at_bar(after.number);
    if let (Some((name, cue)), Some(words)) = (&cue, words) {
        if let Some(Ok(line)) = line {
            finding.fixes.extend(small_notes(ctx, name, line));
        }
        finding
            .fixes
            .extend(in_words(ctx, cue, &words, (before, after)));
    }
    ctx.at_tempo(finding, after, rest.0 / longest.0)
}

/// The line itself, small over the rest.
fn small_notes(ctx: &AmongContext<'_>, name: &str, line: CueLine) -> Option<Fix> {
    let from = line.notes.first()?.onset;
    let words = match octave_sign(line.octaves) {
        Some(octaves) => format!("{name} {octaves}"),
        None => name.to_owned(),
    };
    Some(Fix {
        safety: Safety::Review,
        title: format!(
            "Write what is played there (\"{words}\") as small notes from bar {}",
            ctx.bar_at(from)?.number
        ),
        intents: vec![Intent::WriteCue {
            part: ctx.part_ref(),
            cue: NewCue {
                from,
                words,
                notes: line.notes,
            },
        }],
    })
}

/// How players are told that a line sounds so many octaves higher than it is written; common practice.
const fn octave_sign(octaves: i8) -> Option<&'static str> {
    match octaves {
        1 => Some("8va"),
        -1 => Some("8vb"),
        2 => Some("15ma"),
        -2 => Some("15mb"),
        3 => Some("22ma"),
        -3 => Some("22mb"),
        _ => None,
    }
}

/// Words over the rest, in whose middle they may stand where that is one sign for many bars.
fn in_words(
    ctx: &AmongContext<'_>,
    cue: &Cue,
    words: &str,
    (before, after): (&PlayedNote, &PlayedNote),
) -> Option<Fix> {
    let bar = ctx.bar_at(cue.begins)?;
    // One sign for many bars of rest is divided where it can be.
    let (intent, number) = if bar.runs.is_empty() && ctx.score.cues == Cues::WithinRests {
        let cue = NewCue {
            from: bar.onset,
            words: words.to_owned(),
            notes: Vec::new(),
        };
        let part = ctx.part_ref();
        (Intent::WriteCue { part, cue }, bar.number)
    } else {
        let (note, number) = ctx.rest_from(cue.begins, before, after)?;
        let mark = NewMark::Words(words.to_owned());
        (Intent::AddMark { note, mark }, number)
    };
    Some(Fix {
        safety: Safety::Review,
        title: format!("Write \"{words}\" over the rest in bar {number}"),
        intents: vec![intent],
    })
}

/// The name of a note as it is spoken, without its octave.
fn note_name(note: WrittenPitch) -> String {
    let name = note.to_string();
    name.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == '-')
        .to_owned()
}
