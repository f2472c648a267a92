//! What can be written in an instruction to bellhand, in a score's comment, whatever the notation.

use std::ops::Range;

use rules::RuleSelector;

use super::Suggestion;

/// The word that opens an instruction.
const OPENING: &str = "bellhand:";

/// The signs that open a comment in the notations.
const COMMENTS: [&str; 3] = ["%", "<!--", "!!"];

/// What an instruction can begin with, and what that says.
const VERBS: [(&str, &str); 9] = [
    ("part ", "What a part is: part 2 = horn in F"),
    (
        "pitch sounding",
        "The notes of all horn parts are what sounds, as in a score at concert pitch",
    ),
    (
        "pitch written",
        "The notes of all horn parts are those that players read",
    ),
    (
        "ignore ",
        "Say nothing of these rules here: ignore range/too-high: she can play it",
    ),
    ("ignore in file ", "Say nothing of these rules in this file"),
    ("task ", "In a lesson: what is to be done"),
    ("hint ", "In a lesson: a step towards the task above"),
    (
        "expect ",
        "In a lesson: a fault that is to be found: expect stopped/too-low in bar 7",
    ),
    (
        "only ",
        "In a lesson: what is looked at when an answer is marked: only stopped, mute",
    ),
];

/// What a part can be said to be, and what that says.
const PARTS: [(&str, &str); 15] = [
    ("horn in F", "Sounds a perfect fifth below what it reads"),
    ("horn in E flat", "Sounds a major sixth below what it reads"),
    ("horn in E", "Sounds a minor sixth below what it reads"),
    ("horn in D", "Sounds a minor seventh below what it reads"),
    ("horn in C", "Sounds an octave below what it reads"),
    ("horn in G", "Sounds a perfect fourth below what it reads"),
    ("horn in A", "Sounds a minor third below what it reads"),
    (
        "horn in B flat alto",
        "Sounds a major second below what it reads",
    ),
    (
        "horn in B flat basso",
        "Sounds a major ninth below what it reads",
    ),
    (
        "horn in F, old bass clef",
        "Bass clef is written an octave low",
    ),
    (
        "horn in F, sounding pitch",
        "The notes are what sounds, and the part is made from them",
    ),
    ("horn in F, single F", "Played on a single horn in F"),
    (
        "horn in F, single B flat",
        "Played on a single horn in B flat",
    ),
    ("horn in F, triple", "Played on a triple horn"),
    ("not a horn", "Its name is a horn's, and it is none"),
];

/// What can be written at the end of `before`, the line as far as it has been written; `parts` are the names of the
/// score's parts. `None` where that is no instruction.
#[must_use]
pub fn suggest_instruction(before: &str, parts: &[&str]) -> Option<Vec<Suggestion>> {
    let line = Line(before);
    let Some(at) = opening(before) else {
        return line.beginning();
    };
    let words = before.get(at + OPENING.len()..)?;
    let rest = words.trim_start();
    let verb = rest.split_whitespace().next().unwrap_or_default();
    let said = |verb: &str| {
        rest.strip_prefix(verb)
            .filter(|rest| rest.starts_with(char::is_whitespace))
    };
    if let Some(rest) = said("ignore in file").or_else(|| said("ignore")) {
        return Some(line.rules(rest, false, "ignore" == verb && !rest.contains("in file")));
    }
    if let Some(rest) = said("only") {
        return Some(line.rules(rest, true, false));
    }
    if let Some(rest) = said("expect") {
        return Some(line.expect(rest.trim_start(), parts));
    }
    if let Some(rest) = said("part") {
        return Some(line.part(rest.trim_start(), parts));
    }
    if said("task").or_else(|| said("hint")).is_some() {
        return Some(Vec::new());
    }
    Some(line.of(rest, VERBS.into_iter()))
}

/// Where an instruction's opening stands in a line: in a comment, with nothing before it there.
fn opening(before: &str) -> Option<usize> {
    let lower = before.to_ascii_lowercase();
    let at = lower.rfind(OPENING)?;
    let lead = before.get(..at)?.trim_end();
    let opens = COMMENTS.iter().any(|comment| lead.ends_with(comment));
    opens.then_some(at)
}

/// A line as far as it has been written.
#[derive(Clone, Copy)]
struct Line<'a>(&'a str);

impl Line<'_> {
    /// What the last `written` bytes are replaced by, of all that begins as they do.
    fn of<'s>(
        self,
        written: &str,
        all: impl Iterator<Item = (&'s str, &'s str)>,
    ) -> Vec<Suggestion> {
        let replaces = self.last(written);
        let typed = written.to_lowercase();
        all.filter(|(text, _)| text.to_lowercase().starts_with(&typed) && *text != written)
            .map(|(text, what)| Suggestion::plain(text, what, replaces.clone()))
            .collect()
    }

    fn last(self, written: &str) -> Range<usize> {
        self.0.len() - written.len()..self.0.len()
    }

    /// The opening itself, once its first letter stands in a comment; `None` anywhere else.
    fn beginning(self) -> Option<Vec<Suggestion>> {
        let word = self.0.rsplit(char::is_whitespace).next()?;
        let lead = self.0.get(..self.0.len() - word.len())?.trim_end();
        let opens = COMMENTS.iter().any(|comment| lead.ends_with(comment));
        let begins = !word.is_empty() && OPENING.starts_with(&word.to_lowercase());
        (opens && begins).then(|| {
            let what = "An instruction to bellhand, which players never see";
            self.of(word, [("bellhand: ", what)].into_iter())
        })
    }

    /// Rules behind commas, up to a colon; with `groups` their groups, too.
    fn rules(self, rest: &str, groups: bool, or_in_file: bool) -> Vec<Suggestion> {
        if rest.contains(':') {
            // What stands behind it is the writer's reason.
            return Vec::new();
        }
        let written = rest.rsplit([',', ' ', '\t']).next().unwrap_or_default();
        let mut all: Vec<(&str, &str)> = Vec::new();
        if or_in_file && rest.trim() == written {
            all.push(("in file ", "Say nothing of these rules in this file"));
        }
        if groups {
            let mut last = "";
            for rule in rules::ALL {
                if rule.group() != last {
                    last = rule.group();
                    all.push((last, "All rules of this group"));
                }
            }
        }
        all.extend(rules::ALL.iter().map(|rule| (rule.name, rule.summary())));
        let listed: Vec<&str> = rest.split([',', ' ', '\t']).collect();
        all.retain(|(name, _)| !listed.contains(name));
        self.of(written, all.into_iter())
    }

    /// A rule, and then where its fault is.
    fn expect(self, rest: &str, parts: &[&str]) -> Vec<Suggestion> {
        let Some((rule, place)) = rest.split_once(char::is_whitespace) else {
            let all = rules::ALL.iter().map(|rule| (rule.name, rule.summary()));
            return self.of(rest, all);
        };
        if !matches!(rule.parse(), Ok(RuleSelector::Rule(_))) {
            return Vec::new();
        }
        if let Some((_, written)) = place.rsplit_once("in part ") {
            return self.names(written, parts);
        }
        // What has been begun of the next place, behind those that are named.
        let word = place.rsplit(char::is_whitespace).next().unwrap_or_default();
        let begun = place.len() - word.len();
        let begun = match place.get(..begun).unwrap_or_default().trim_end() {
            lead if lead.ends_with("in") && !word.is_empty() => lead.len() - "in".len(),
            _ => begun,
        };
        let (named, written) = place.split_at(begun);
        let in_bar = named.contains("in bar");
        let free = [
            (!in_bar, "in bar ", "The number of the bar"),
            (
                !in_bar,
                "in bars ",
                "The numbers of the first bar and the last: in bars 5-8",
            ),
            (true, "in part ", "The part, by its name or number"),
        ];
        let free = free.into_iter().filter(|(free, _, _)| *free);
        self.of(written, free.map(|(_, text, what)| (text, what)))
    }

    /// Which part, and what it is.
    fn part(self, rest: &str, parts: &[&str]) -> Vec<Suggestion> {
        match rest.split_once('=') {
            Some((_, written)) => self.of(written.trim_start(), PARTS.into_iter()),
            None => self.names(rest, parts),
        }
    }

    /// Parts by their names.
    fn names(self, written: &str, parts: &[&str]) -> Vec<Suggestion> {
        let quoted: Vec<String> = parts.iter().map(|name| format!("\"{name}\"")).collect();
        let all = quoted
            .iter()
            .map(|name| (name.as_str(), "The part of this name"));
        self.of(written, all)
    }
}

#[cfg(test)]
mod tests {
    use score::{DirectiveKind, parse_directive};

    use super::*;

    const PARTS_HERE: [&str; 2] = ["Horn 1 in F", "Corno II"];

    fn offered(before: &str) -> Vec<String> {
        let suggestions = suggest_instruction(before, &PARTS_HERE).unwrap_or_default();
        let whole = |one: Suggestion| format!("{}{}", &before[..one.replaces.start], one.text);
        suggestions.into_iter().map(whole).collect()
    }

    #[test]
    fn what_is_offered_depends_on_what_is_written() {
        assert_eq!(offered("% b"), ["% bellhand: "]);
        assert_eq!(offered("!! bell"), ["!! bellhand: "]);
        assert_eq!(offered("<!-- bellhand: h"), ["<!-- bellhand: hint "]);
        assert_eq!(offered("% bellhand: ").len(), VERBS.len());
        assert!(
            offered("c d e | % bellhand: ignore stopped/too-l")
                .contains(&"c d e | % bellhand: ignore stopped/too-low".to_owned())
        );
        assert!(
            offered("% bellhand: ignore in").contains(&"% bellhand: ignore in file ".to_owned())
        );
        assert!(offered("% bellhand: only mut").contains(&"% bellhand: only mute".to_owned()));
        assert!(
            !offered("% bellhand: only mute, ").contains(&"% bellhand: only mute, mute".to_owned())
        );
        assert_eq!(
            offered("% bellhand: expect mute/already in b"),
            [
                "% bellhand: expect mute/already in bar ",
                "% bellhand: expect mute/already in bars "
            ]
        );
        assert_eq!(
            offered("% bellhand: expect mute/already in bar 7 in part \"C"),
            ["% bellhand: expect mute/already in bar 7 in part \"Corno II\""]
        );
        assert_eq!(offered("% bellhand: part ").len(), 2);
        assert_eq!(
            offered("% bellhand: part 2 = not"),
            ["% bellhand: part 2 = not a horn"]
        );
    }

    #[test]
    fn nothing_is_offered_in_music_words_and_reasons() {
        for before in ["c d e", "% b c", "w: bell", "\"^b", "% c", "%", ""] {
            assert_eq!(suggest_instruction(before, &PARTS_HERE), None, "{before}");
        }
        for before in [
            "% bellhand: task Mut",
            "% bellhand: ignore mute/already: bec",
            "% bellhand: expect nonsense in ",
        ] {
            assert_eq!(offered(before), [] as [String; 0], "{before}");
        }
    }

    #[test]
    fn all_that_is_offered_is_understood() {
        let mut tried = 0;
        for before in [
            "bellhand: ignore ",
            "bellhand: ignore in file ",
            "bellhand: only ",
            "bellhand: expect ",
            "bellhand: expect mute/already in part ",
            "bellhand: part 1 = ",
            "bellhand: part ",
        ] {
            for whole in offered(&format!("% {before}")) {
                if whole.ends_with("in file ") {
                    continue;
                }
                let whole = if before.ends_with("part ") && !before.contains("expect") {
                    whole + " = horn in F"
                } else {
                    whole
                };
                let (_, kind) = parse_directive(&whole[1..]).unwrap();
                assert!(!matches!(kind, DirectiveKind::Unknown(_)), "{whole}");
                if let DirectiveKind::Part { is, .. } = &kind {
                    let understood = horn::read_part_said(is);
                    assert!(understood.is_ok(), "{whole}: {understood:?}");
                }
                tried += 1;
            }
        }
        assert!(tried > 4 * rules::ALL.len(), "{tried}");
    }
}
