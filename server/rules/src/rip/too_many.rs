//! `rip/too-many`: one rip after another.

use theory::Seconds;

use crate::context::PartContext;
use crate::crowd::crowds;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static RIPS: Setting = Setting {
    name: "rips",
    what: "How many rips within one minute still are an effect.",
    kind: Kind::Number("rips"),
    default: |_| number(horn::rips_in_a_minute(), "rips"),
};

rule! {
    /// More rips than an effect bears.
    ///
    /// ## Why it matters
    /// A rip startles once. One every few bars is a habit, and from then on the player hears only that the lip is torn
    /// through the series again and again. Rips are tiring, too.
    ///
    /// ## What to write instead
    /// Keep the rip for the one place that needs it, and slur or tongue the others.
    ///
    /// ## Source
    /// Overusing the rip is a fault: Hembd, quoted by Ericson, *Horn Matters* (2011). How many are too many is bellhand's own
    /// choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=96
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!"^gliss." (C2 c2) | z4 | "^gliss." (C2 c2) | z4 | "^gliss." (C2 c2) | z4 |
    /// "^gliss." (C2 c2) | z4 | "^gliss." (C2 c2) | z4 | "^gliss." (C2 c2) | z4 | "^gliss." (C2 c2) | z4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=96
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!"^gliss." (C2 c2) | z4 | (G2 c2) | z4 | "^gliss." (C2 c2) | z4 |]
    /// ```
    "rip/too-many", Hint, Player(check), settings: [RIPS]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let most = ctx.number(&RULE, &RIPS);
    let rips: Vec<_> = ctx.part.sounding_rips().collect();
    let starts: Vec<Seconds> = rips.iter().map(|(_, from, _)| from.starts).collect();
    let crowds = crowds(&starts, most.value).into_iter();
    let findings = crowds.filter_map(|crowd| {
        let (rip, note, _) = rips.get(crowd.over)?;
        let message = format!(
            "This is the {}th rip within a minute. A rip startles once; so many are a habit, and they tire the lip. Keep it for \
             the one place that needs it, and slur or tongue the others.",
            crowd.over + 1 - crowd.first,
        );
        let finding = ctx.finding(&RULE, rip.mark, message, &most.source);
        Some(ctx.at_tempo(finding.at_bar(note.number), note, crowd.ceases))
    });
    findings.collect()
}
