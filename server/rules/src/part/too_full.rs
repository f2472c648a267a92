//! `part/too-full`: more notes than suit a horn.

use reading::PlayedNote;
use theory::Seconds;

use crate::context::PartContext;
use crate::crowd::crowds;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes within one minute are too many.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::fullest_minute(), "notes"),
};

rule! {
    /// A minute with more notes than suit the horn.
    ///
    /// ## Why it matters
    /// Fast writing with very many notes sounds poor on the horn even where a fine player gets through it: every note wants a
    /// moment to ring. It is written for a saxophone, and the horn's own voice is not heard at all.
    ///
    /// ## What to write instead
    /// Leave the quick figures to others, and give the horn their outline.
    ///
    /// ## Source
    /// Too many notes: Ericson, *Horn Matters* (2011). How many are too many is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/8
    /// Q:1/4=192
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz |
    /// GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz |
    /// GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz |
    /// GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz |
    /// GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz | GABc BAGz |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/8
    /// Q:1/4=96
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!GABc BAGz | G4 c4 | GABc BAGz | G4 z4 |]
    /// ```
    "part/too-full", Information, Player(check), settings: [NOTES]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let most = ctx.number(&RULE, &NOTES);
    let notes = ctx.part.notes.iter();
    let attacks: Vec<&PlayedNote> = notes
        .filter(|note| note.leads() && !note.tied_from && !note.grace)
        .collect();
    let starts: Vec<Seconds> = attacks.iter().map(|note| note.starts).collect();
    let crowds = crowds(&starts, most.value).into_iter();
    let findings = crowds.filter_map(|crowd| {
        let first = attacks.get(crowd.fullest)?;
        let message = format!(
            "More than {} notes stand within one minute from bar {} on ({}). So many suit a saxophone; on the horn each wants a \
             moment to ring, and what is heard is a blur. Give the horn the outline of the figure, and others the rest.",
            most.value,
            first.number,
            ctx.tempo_words(first),
        );
        let finding = ctx
            .finding(&RULE, first.pitch_span, message, &most.source)
            .at_bar(first.number);
        Some(ctx.at_tempo(finding, first, crowd.ceases))
    });
    findings.collect()
}
