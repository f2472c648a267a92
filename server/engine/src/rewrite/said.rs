//! What a part says of its horn besides the music: its names, and words that order another crook.

use horn::{Instruction, WrittenFor, read_crook, read_name, read_words, renamed};
use score::{EventKind, Intent, MarkKind, NewMark, Part, PartRef, Span, WitnessKind};

/// The part's new name.
pub(super) fn name(part: &Part, target: WrittenFor) -> String {
    let name = part.name.as_ref();
    renamed(name.map_or("Horn", |name| name.text.as_str()), target)
}

/// Whatever else names a crook gets the new one as well: short names, instruments', later names.
pub(super) fn other_names(
    part: &Part,
    seat: PartRef,
    base: usize,
    target: WrittenFor,
) -> Vec<Intent> {
    let name = part.name.as_ref();
    let mut intents = Vec::new();
    let mut say = |kind, at: Span, words: &str| {
        if names_a_crook(words) {
            intents.push(Intent::SayOfPart {
                part: seat,
                kind,
                at: at.shifted(base),
                words: renamed(words, target),
            });
        }
    };
    for witness in &part.witnesses {
        let (kind, text) = (witness.kind, &witness.text);
        // The name and what is displayed in its stead go together.
        let named = name.is_some_and(|name| name.span == text.span);
        if !named && !matches!(kind, WitnessKind::DisplayName | WitnessKind::Class(_)) {
            say(kind, text.span, &text.text);
        }
    }
    for placed in part.events() {
        if let EventKind::Witness(kind, words) = &placed.event.kind
            && !matches!(kind, WitnessKind::Class(_))
        {
            say(*kind, placed.span(), words);
        }
    }
    intents
}

fn names_a_crook(words: &str) -> bool {
    let name = read_name(words);
    name.crook_range.is_some() || read_crook(words) != horn::CrookName::Unnamed
}

/// Words that order another crook ("muta in D") go: one horn now plays the whole part. What else they say stays.
pub(super) fn changes(part: &Part, base: usize) -> Vec<Intent> {
    let mut intents = Vec::new();
    for placed in part.events() {
        let EventKind::Mark(mark) = &placed.event.kind else {
            continue;
        };
        let MarkKind::Words(text) = &mark.kind else {
            continue;
        };
        let span = placed.span().shifted(base);
        match without_changes(&text.text) {
            None => {}
            Some(rest) if rest.is_empty() => intents.push(Intent::RemoveMark { mark: span }),
            Some(rest) => intents.push(Intent::ReplaceMark {
                mark: span,
                with: NewMark::Words(rest),
            }),
        }
    }
    intents
}

/// Words without those that order a crook; `None` when they order none.
fn without_changes(words: &str) -> Option<String> {
    let terms = read_words(words);
    let mut orders = terms
        .iter()
        .filter(|term| matches!(term.instruction, Instruction::Crook(_)))
        .peekable();
    orders.peek()?;
    let mut rest = String::new();
    let mut from = 0;
    for order in orders {
        rest.push_str(words.get(from..order.range.start).unwrap_or_default());
        from = order.range.end;
    }
    rest.push_str(words.get(from..).unwrap_or_default());
    let plain = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '.' | '-' | '(' | ')');
    let kept = rest.trim_start_matches(plain).trim_end();
    let kept = kept.trim_end_matches([',', ';', '(', '-', ' ']);
    let says = kept.chars().any(char::is_alphanumeric);
    Some(if says { kept.to_owned() } else { String::new() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_else_words_say_stays() {
        for (words, rest) in [
            ("muta in D", Some("")),
            ("Muta in E.", Some("")),
            ("(in Es)", Some("")),
            ("muta in D, con sord.", Some("con sord.")),
            ("con sord., muta in E", Some("con sord.")),
            ("con sord.", None),
            ("dolce", None),
        ] {
            assert_eq!(without_changes(words).as_deref(), rest, "{words}");
        }
    }
}
