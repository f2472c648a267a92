//! `textDocument/codeAction`: fixes for what stands at the cursor, and for the whole file.
//!
//! A client that can ask again gets promises, and the edits of the one it chooses; others get all edits at once.

mod wish;

use std::collections::HashSet;

use engine::{Finding, Safety};
use horn::{Crook, WrittenFor};
use reading::HornPart;
use score::{Intent, Span};
use serde::{Deserialize, Serialize};
use serde_json::json;
use tower_lsp::jsonrpc::Result;
use tower_lsp::lsp_types::{
    CodeAction, CodeActionDisabled, CodeActionKind, CodeActionOrCommand, CodeActionParams, Url,
};

use super::edit::workspace_edit;
use super::initialize::{CROOK, FIX_ALL};
use crate::diagnostics;
use crate::shared::{Shared, request_failed};
use crate::store::marked;
use crate::view::View;
use wish::Wish;

/// What a part is offered to be written for unasked.
const TARGETS: [WrittenFor; 3] = [
    WrittenFor::Crook(Crook::F),
    WrittenFor::Crook(Crook::EFlat),
    WrittenFor::ConcertPitch,
];
/// The longest text in bytes for which what concerns all of it is proven before anyone has chosen it.
const LONGEST_UNASKED: usize = 128 << 10;

/// An action that is offered.
struct Offer<'a> {
    title: String,
    kind: CodeActionKind,
    preferred: bool,
    finding: Option<&'a Finding>,
    wish: Wish,
}

/// What an action will do to which text, sent along with it in place of edits.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Promise {
    /// The document's address with the mark of its text.
    uri: Url,
    wish: Wish,
}

impl Promise {
    /// The promise an action was sent with.
    pub(crate) fn of(action: &CodeAction) -> Option<Self> {
        serde_json::from_value(action.data.clone()?).ok()
    }

    /// The document's address with the mark of its text.
    pub(crate) const fn uri(&self) -> &Url {
        &self.uri
    }
}

/// The actions for a range.
pub(crate) fn actions(
    view: &View,
    params: &CodeActionParams,
    shared: &Shared,
) -> Vec<CodeActionOrCommand> {
    let late = shared.traits().resolves_edits;
    let finish = |offer: Offer<'_>| {
        // Fixing the whole file is asked for to be done at once, as on saving.
        let (edit, data) = if late && offer.kind != FIX_ALL {
            if !offer.wish.can_be_said(view) {
                return None;
            }
            let uri = marked(&view.uri, view.revision);
            (
                None,
                Some(json!(Promise {
                    uri,
                    wish: offer.wish
                })),
            )
        } else {
            let wide = matches!(
                offer.wish,
                Wish::AllOf { .. } | Wish::Rewrite { all: true, .. }
            );
            if wide && view.judged.document().rope().len_bytes() > LONGEST_UNASKED {
                return None;
            }
            // What cannot be proven is not offered.
            let edits = offer.wish.edits(view).ok()?;
            (Some(workspace_edit(view, shared, &edits)), None)
        };
        Some(CodeActionOrCommand::CodeAction(CodeAction {
            title: offer.title,
            kind: Some(offer.kind),
            diagnostics: offer
                .finding
                .map(|finding| vec![diagnostics::one(view, finding, shared)]),
            is_preferred: Some(offer.preferred),
            edit,
            data,
            ..CodeAction::default()
        }))
    };
    let disabled = match shared.traits().shows_disabled {
        true => unfixable(view, params, shared),
        false => Vec::new(),
    };
    let offers = offers(view, params).into_iter().filter_map(finish);
    offers.chain(disabled).collect()
}

/// For each rule that offers no fix where the cursor stands, an action that cannot be chosen and says why.
fn unfixable(view: &View, params: &CodeActionParams, shared: &Shared) -> Vec<CodeActionOrCommand> {
    let wanted = params.context.only.as_deref();
    let asked = wanted.is_none_or(|kinds| {
        let mut kinds = kinds.iter();
        kinds.any(|asked| holds(asked, &CodeActionKind::QUICKFIX))
    });
    let span = view.span(params.range);
    let findings = view.judged.findings().iter();
    let mut here: Vec<&Finding> = findings
        .filter(|finding| asked && finding.span.meets(span) && finding.fixes.is_empty())
        .collect();
    let mut seen = HashSet::new();
    here.retain(|finding| seen.insert(finding.rule));
    let disabled = here.into_iter().map(|finding| CodeAction {
        title: format!("Fix {}", finding.rule),
        kind: Some(CodeActionKind::QUICKFIX),
        diagnostics: Some(vec![diagnostics::one(view, finding, shared)]),
        disabled: Some(CodeActionDisabled {
            reason: "What to write instead is a musical choice that only you can make; the finding says which there are."
                .to_owned(),
        }),
        ..CodeAction::default()
    });
    disabled.map(CodeActionOrCommand::CodeAction).collect()
}

/// An action with its edits, for who has chosen it. Fails when they cannot be proven.
pub(crate) fn keep(
    action: CodeAction,
    promise: &Promise,
    view: &View,
    shared: &Shared,
) -> Result<CodeAction> {
    let edits = promise.wish.edits(view).map_err(request_failed)?;
    Ok(CodeAction {
        edit: Some(workspace_edit(view, shared, &edits)),
        ..action
    })
}

/// What can be done, before anyone asks for edits.
fn offers<'a>(view: &'a View, params: &CodeActionParams) -> Vec<Offer<'a>> {
    let wanted = params.context.only.as_deref();
    let asks = |kind: &CodeActionKind| {
        wanted.is_some_and(|kinds| kinds.iter().any(|asked| holds(asked, kind)))
    };
    let mut offers = Vec::new();
    if wanted.is_none() || asks(&CodeActionKind::QUICKFIX) {
        let span = view.span(params.range);
        let mut seen = Seen::default();
        for (index, finding) in view.judged.findings().iter().enumerate() {
            if finding.span.meets(span) {
                for_finding(view, index, finding, &mut seen, &mut offers);
            }
        }
    }
    if wanted.is_none() || asks(&CROOK) {
        let by_name = wanted.is_some_and(|kinds| kinds.contains(&CROOK));
        let targets = if by_name {
            &WrittenFor::ALL[..]
        } else {
            &TARGETS
        };
        rewrites(view, view.span(params.range), targets, &mut offers);
    }
    // What fixes comes before what only silences, whichever finding it is for.
    offers.sort_by_key(|offer| offer.wish.silences());
    // Fixing the whole file is offered only to who asks for it, as editors do on saving.
    let fixable = |finding: &Finding| finding.fixes.iter().any(|fix| fix.safety == Safety::Safe);
    if asks(&FIX_ALL) && view.judged.findings().iter().any(fixable) {
        offers.push(Offer {
            title: "Apply all safe fixes".to_owned(),
            kind: FIX_ALL,
            preferred: false,
            finding: None,
            wish: Wish::All,
        });
    }
    offers
}

/// What else to write a part for, at the place where it is declared; and all horn parts of the piece with it.
fn rewrites(view: &View, span: Span, targets: &[WrittenFor], offers: &mut Vec<Offer<'_>>) {
    for (place, (base, reading, horn)) in view.horns().enumerate() {
        if !horn.head.shifted(base).meets(span) {
            continue;
        }
        let mut offer = |title, all, target: &WrittenFor| {
            offers.push(Offer {
                title,
                kind: CROOK,
                preferred: false,
                finding: None,
                wish: Wish::Rewrite {
                    horn: place,
                    all,
                    target: target.to_string(),
                },
            });
        };
        for target in targets {
            if !engine::is_written_for(horn, *target) {
                let title = format!("Write {} {}", horn.label, target.phrase());
                offer(title, false, target);
            }
        }
        let horns = &reading.horns;
        let others = |target: &&WrittenFor| {
            let already = |horn: &HornPart| engine::is_written_for(horn, **target);
            horns.len() > 1 && !horns.iter().all(already)
        };
        for target in targets.iter().filter(others) {
            let count = horns.len();
            let title = format!("Write all {count} horn parts {}", target.phrase());
            offer(title, true, target);
        }
    }
}

/// Whether a kind asked for holds another: `source` holds `source.fixAll`.
fn holds(asked: &CodeActionKind, kind: &CodeActionKind) -> bool {
    let (asked, kind) = (asked.as_str(), kind.as_str());
    asked.is_empty()
        || kind
            .strip_prefix(asked)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// What several findings in one range share, so that it is offered once.
#[derive(Default)]
struct Seen<'a> {
    fixes: Vec<&'a [Intent]>,
    rules: HashSet<&'static str>,
}

/// The fixes of a finding, the same for all of its kind, and the two ways to silence it.
fn for_finding<'a>(
    view: &'a View,
    index: usize,
    finding: &'a Finding,
    seen: &mut Seen<'a>,
    offers: &mut Vec<Offer<'a>>,
) {
    let mut offer = |title, preferred, wish| {
        offers.push(Offer {
            title,
            kind: CodeActionKind::QUICKFIX,
            preferred,
            finding: Some(finding),
            wish,
        });
    };
    let rule = finding.rule;
    for (place, fix) in finding.fixes.iter().enumerate() {
        if seen.fixes.contains(&fix.intents.as_slice()) {
            continue;
        }
        seen.fixes.push(&fix.intents);
        let wish = Wish::Fix {
            finding: index,
            fix: place,
        };
        let preferred = place == 0 && fix.safety == Safety::Safe;
        offer(warned(&fix.title, fix.safety), preferred, wish);
    }
    let first_of_rule = seen.rules.insert(rule);
    if first_of_rule {
        let (fixes, safety) = wish::all_of(view, rule);
        if fixes.len() > 1 {
            let title = format!("Fix all {} of {rule} in this file", fixes.len());
            let wish = Wish::AllOf {
                rule: rule.to_owned(),
            };
            offer(warned(&title, safety), false, wish);
        }
    }
    let here = format!("Ignore {rule} here");
    offer(here, false, Wish::SilentHere { finding: index });
    if first_of_rule {
        let wish = Wish::SilentInFile {
            rule: rule.to_owned(),
        };
        offer(format!("Ignore {rule} in this file"), false, wish);
    }
}

/// A title that says so when the music will not be the same.
fn warned(title: &str, safety: Safety) -> String {
    match safety {
        Safety::Safe => title.to_owned(),
        Safety::Review => format!("{title} (changes the music)"),
    }
}

/// The edits that write a horn part, by its place among all horns, for what some words say. Fails, saying why, where they
/// cannot be proven.
pub(super) fn rewritten(
    view: &View,
    horn: usize,
    target: &str,
) -> std::result::Result<Vec<notation::TextEdit>, String> {
    let wish = Wish::Rewrite {
        horn,
        all: false,
        target: target.to_owned(),
    };
    wish.edits(view)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_hold_their_own() {
        let kind = |text: &'static str| CodeActionKind::new(text);
        assert!(holds(&kind("source"), &FIX_ALL));
        assert!(holds(&kind("source.fixAll"), &FIX_ALL));
        assert!(holds(&FIX_ALL, &FIX_ALL));
        assert!(holds(&kind(""), &FIX_ALL));
        assert!(!holds(&kind("source.fix"), &FIX_ALL));
        assert!(!holds(&kind("quickfix"), &FIX_ALL));
    }
}
