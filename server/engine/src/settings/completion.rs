//! What can stand at a place of a settings file.

use rules::{Kind, Severity};

use super::keys::{KEYS, Key, Takes};
use crate::suggest::Suggestion;

/// What stands before a place on its line.
enum Before<'a> {
    /// The beginning of a name.
    Name(&'a str),
    /// A name, and the beginning of its value.
    Value(&'a str, &'a str),
}

/// What can be written at a byte of a settings file; nothing within a comment, or where nothing fits.
#[must_use]
pub fn suggest(text: &str, byte: usize) -> Vec<Suggestion> {
    let Some(head) = text.get(..byte) else {
        return Vec::new();
    };
    let line_start = head.rfind('\n').map_or(0, |end| end + 1);
    let (above, line) = head.split_at(line_start);
    if in_comment(line) {
        return Vec::new();
    }
    let table = above.lines().rev().find_map(header);
    let keys = keys_of(table);
    let before = match line.split_once('=') {
        None => Before::Name(line.trim_start()),
        Some((name, value)) => Before::Value(unquoted(name.trim()), value.trim_start()),
    };
    let (typed, offers) = match before {
        Before::Name(typed) if typed.starts_with('[') => (
            typed,
            tables()
                .map(|key| (header_of(key), key.what.to_owned()))
                .collect(),
        ),
        Before::Name(typed) => (typed, names(table, keys)),
        Before::Value(name, typed) => {
            let typed = typed
                .rsplit([',', '[', '{', '='])
                .next()
                .unwrap_or(typed)
                .trim_start();
            (typed, values(table, keys, name, line))
        }
    };
    let replaces = byte - typed.len()..byte;
    let wanted = unquoted(typed).to_lowercase();
    offers
        .into_iter()
        .filter(|(offer, _)| unquoted(offer).to_lowercase().contains(&wanted))
        .map(|(text, what)| Suggestion::plain(text, what, replaces.clone()))
        .collect()
}

/// Whether a line's beginning ends in a comment; a # in quotes opens none.
fn in_comment(line: &str) -> bool {
    let mut quoted = false;
    line.chars().any(|letter| {
        quoted ^= letter == '"';
        letter == '#' && !quoted
    })
}

fn unquoted(text: &str) -> &str {
    let text = text.strip_prefix('"').unwrap_or(text);
    text.strip_suffix('"').unwrap_or(text)
}

fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// The name of the table that a line opens.
fn header(line: &str) -> Option<&str> {
    let name = line.trim().strip_prefix('[')?;
    let name = name.strip_prefix('[').unwrap_or(name);
    Some(name.split(']').next().unwrap_or(name).trim())
}

fn tables() -> impl Iterator<Item = &'static Key> {
    KEYS.iter().filter(|key| key.is_table())
}

fn header_of(key: &Key) -> String {
    match key.takes {
        Takes::Where(_) => format!("[[{}]]", key.name),
        _ => format!("[{}]", key.name),
    }
}

/// The keys of a table by its name; those of the whole file where there is none.
fn keys_of(table: Option<&str>) -> Vec<&'static Key> {
    let Some(name) = table else {
        return KEYS.iter().filter(|key| !key.is_older()).collect();
    };
    let name = name.strip_prefix("where.").unwrap_or(name);
    match KEYS
        .iter()
        .find(|key| key.name == name)
        .map(|key| key.takes)
    {
        Some(Takes::Table(keys)) => keys.iter().collect(),
        Some(Takes::Where(whom)) => {
            let others = KEYS
                .iter()
                .filter(|key| key.is_of_where() && !key.is_older());
            whom.iter().chain(others).collect()
        }
        _ => Vec::new(),
    }
}

fn is_rules(table: Option<&str>) -> bool {
    table.is_some_and(|table| table.strip_prefix("where.").unwrap_or(table) == "rules")
}

/// Names that can be set, each with what it sets.
fn names(table: Option<&str>, keys: Vec<&'static Key>) -> Vec<(String, String)> {
    if !is_rules(table) {
        let simple = |key: &&Key| table.is_some() || !key.is_table();
        let mut offers: Vec<_> = keys
            .into_iter()
            .filter(simple)
            .map(|key| (key.name.to_owned(), key.what.to_owned()))
            .collect();
        if table.is_none() {
            offers.extend(tables().map(|key| (header_of(key), key.what.to_owned())));
        }
        return offers;
    }
    let mut offers = vec![("all".to_owned(), "All rules.".to_owned())];
    for rule in rules::ALL {
        let group = rule.group();
        if !offers.iter().any(|(known, _)| known == group) {
            offers.push((group.to_owned(), format!("All rules of {group}.")));
        }
    }
    offers.extend(
        rules::ALL
            .iter()
            .map(|rule| (quoted(rule.name), rule.summary().to_owned())),
    );
    offers
}

/// Values of a name, each with what it means.
fn values(
    table: Option<&str>,
    keys: Vec<&'static Key>,
    name: &str,
    line: &str,
) -> Vec<(String, String)> {
    if is_rules(table) {
        return of_rule(name, line);
    }
    let Some(key) = keys.into_iter().find(|key| key.name == name) else {
        return Vec::new();
    };
    let words = |words: Vec<&str>| {
        let offer = |word: &str| (quoted(word), key.what.to_owned());
        words.into_iter().map(offer).collect()
    };
    match key.takes {
        Takes::Choice(choices, _) | Takes::Older(choices) => words(choices()),
        Takes::Text(such_as) => words(such_as.to_vec()),
        Takes::Words => {
            let wording = horn::Wording::ALL
                .into_iter()
                .find(|one| one.name() == name);
            let mut printed: Vec<&str> = wording
                .into_iter()
                .flat_map(|wording| horn::Language::ALL.map(|language| wording.printed(language)))
                .collect();
            printed.sort_unstable();
            printed.dedup();
            words(printed)
        }
        _ => Vec::new(),
    }
}

/// A rule's severity, or within braces its settings.
fn of_rule(name: &str, line: &str) -> Vec<(String, String)> {
    let severities = || {
        let words = Severity::ALL
            .map(Severity::name)
            .into_iter()
            .rev()
            .chain(["off"]);
        words
            .map(|word| (quoted(word), "The severity.".to_owned()))
            .collect()
    };
    let (Some((_, inside)), Some(rule)) = (line.split_once('{'), rules::rule(name)) else {
        return severities();
    };
    let last = inside.rsplit(',').next().unwrap_or(inside);
    let Some((setting, _)) = last.split_once('=') else {
        let own = rule.settings.iter();
        let own = own.map(|setting| (setting.name.to_owned(), setting.what.to_owned()));
        return [("severity".to_owned(), "The severity.".to_owned())]
            .into_iter()
            .chain(own)
            .collect();
    };
    let setting = setting.trim();
    if setting == "severity" {
        return severities();
    }
    match rule.settings.iter().find(|known| known.name == setting) {
        Some(known) => match known.kind {
            Kind::Choice(words) => words
                .iter()
                .map(|word| (quoted(word), known.what.to_owned()))
                .collect(),
            _ => Vec::new(),
        },
        None => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is suggested where `^` stands, and the text with one of it written.
    fn at(text: &str) -> (Vec<String>, impl Fn(&str) -> String) {
        let byte = text.find('^').unwrap();
        let text = text.replacen('^', "", 1);
        let suggested = suggest(&text, byte);
        let texts = suggested.iter().map(|one| one.text.clone()).collect();
        let write = move |wanted: &str| {
            let one = suggested.iter().find(|one| one.text == wanted).unwrap();
            let mut text = text.clone();
            text.replace_range(one.replaces.clone(), &one.text);
            text
        };
        (texts, write)
    }

    #[test]
    fn names_and_values_are_suggested_where_they_fit() {
        for (text, wanted, written) in [
            ("le^", "level", "level"),
            ("level = ^", "\"student\"", "level = \"student\""),
            ("level = \"stu^", "\"student\"", "level = \"student\""),
            ("[wo^", "[words]", "[words]"),
            ("[words]\nmute^", "mute-in", "[words]\nmute-in"),
            (
                "[words]\nlanguage = ^",
                "\"german\"",
                "[words]\nlanguage = \"german\"",
            ),
            (
                "[words]\nmute-in = [\"mute in\", ^",
                "\"con sord.\"",
                "[words]\nmute-in = [\"mute in\", \"con sord.\"",
            ),
            ("[rules]\nsto^", "stopped", "[rules]\nstopped"),
            (
                "[rules]\n\"too-h^",
                "\"range/too-high\"",
                "[rules]\n\"range/too-high\"",
            ),
            (
                "[rules]\n\"range/too-high\" = ^",
                "\"off\"",
                "[rules]\n\"range/too-high\" = \"off\"",
            ),
            (
                "[rules]\n\"range/too-high\" = { hi^",
                "highest",
                "[rules]\n\"range/too-high\" = { highest",
            ),
            (
                "[rules]\n\"notation/key-signature\" = { signature = ^",
                "\"wanted\"",
                "[rules]\n\"notation/key-signature\" = { signature = \"wanted\"",
            ),
            ("[[where]]\nfi^", "files", "[[where]]\nfiles"),
            (
                "[names]\nnumerals = ^",
                "\"roman\"",
                "[names]\nnumerals = \"roman\"",
            ),
        ] {
            let (texts, write) = at(text);
            assert!(texts.contains(&wanted.to_owned()), "{text}: {texts:?}");
            assert_eq!(write(wanted), written);
        }
    }

    #[test]
    fn where_nothing_fits_nothing_is_suggested() {
        for text in [
            "# le^",
            "level = \"student\" # ^",
            "assumed-tempo = ^",
            "[parts]\nAl^",
            "width = ^",
            "ä^",
        ] {
            assert_eq!(at(text).0, Vec::<String>::new(), "{text}");
        }
        assert_eq!(suggest("ä", 1), Vec::new());
        assert_eq!(suggest("", 7), Vec::new());
    }

    #[test]
    fn every_name_at_the_start_is_one_that_is_understood() {
        for suggestion in suggest("", 0) {
            let name = suggestion.text.trim_matches(['[', ']']);
            assert!(KEYS.iter().any(|key| key.name == name), "{name}");
            assert!(!suggestion.what.is_empty());
        }
    }
}
