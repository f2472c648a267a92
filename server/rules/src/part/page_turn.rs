//! `part/page-turn`: a page that ends where there is no time to turn it.

use reading::Silences;
use score::Kinds;
use theory::Seconds;

use crate::change::is_no_rest;
use crate::context::AmongContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, seconds};

static REST: Setting = Setting {
    name: "rest",
    what: "Seconds of rest in which a page is turned.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::time_to_turn_page()),
};

rule! {
    /// A page that ends where the player has no rest to turn it in.
    ///
    /// ## Why it matters
    /// Both hands are at the horn. To turn a page one of them leaves it and must be back before the next breath; where the
    /// music goes on, notes before the turn or after it are left out.
    ///
    /// Where pages end is known only where the part says so itself: in ABC by `%%newpage`, in MusicXML by
    /// `<print new-page="yes"/>`, in Humdrum by `!!LO:PB`. The rule judges these, and only in a score of one part: the pages
    /// of a score of several parts are not those that lie on the stand. It cannot know which pages lie open side by side, so
    /// it speaks at each end of a page. `bellhand draw --page` lays pages out by itself, and says which turns leave no time.
    ///
    /// ## What to write instead
    /// End the page some bars earlier or later, at a rest, and leave the rest of it empty where that is needed; or let the
    /// two pages lie side by side.
    ///
    /// ## Source
    /// That pages are turned in rests: common practice. No published time was found; the seconds are this project's choice
    /// and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=80
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!c d e d | c2 z2 |
    /// %%newpage
    /// z e d c | G4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=80
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!c d e d | c2 z2 |
    /// %%newpage
    /// z2 d c | G4 |]
    /// ```
    "part/page-turn", Hint, PartAmong(check), settings: [REST], rests_on: Page
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    if ctx.reading.piece.parts.len() > 1 {
        return Vec::new();
    }
    let needed = ctx.seconds(&RULE, &REST);
    let notes = &ctx.part.notes;
    let mut silences = None;
    let turns = ctx.events_of(Kinds::PAGES).filter_map(|placed| {
        let silences = silences.get_or_insert_with(|| Silences::of(ctx.part));
        let around = silences.around(placed.onset)?;
        let (last, next) = (notes.get(around.before)?, notes.get(around.after)?);
        let free = around.lasts.0.max(0.0);
        if free >= needed.value.0 {
            return None;
        }
        let rest = if is_no_rest(Seconds(free)) {
            "no rest".to_owned()
        } else {
            format!("only {free:.1} s of rest")
        };
        let message = format!(
            "A page ends before bar {} with {rest} to turn it in. That takes about {} s ({}); whoever turns here leaves notes \
             out. End the page at a longer rest, or let the two pages lie side by side.",
            ctx.bar_at(placed.onset)?.number,
            needed.value.0,
            ctx.tempo_words(next),
        );
        let finding = ctx
            .finding(&RULE, placed.span(), message, &needed.source)
            .at_bar(ctx.bar_at(placed.onset)?.number)
            .related(Some(last.span), "the last note before the turn")
            .related(Some(next.span), "the first note after the turn");
        Some(ctx.at_tempo(finding, next, free / needed.value.0))
    });
    turns.collect()
}
