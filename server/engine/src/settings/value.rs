//! What one key of settings is set to: words, numbers, patterns and tables, each read or refused with its place.

use globset::{GlobBuilder, GlobSet, GlobSetBuilder};
use horn::{Called, Language, Numerals, Wording, likeliest};
use rules::{Given, House, HouseLanguage, Severity};
use score::{Courtesy, PartSelector};
use theory::{PagePitch, Tempo};

use super::change::Change;
use super::keys::{COURTESY_SIGNS, Key, LEAVE, SIGNATURE, Takes};
use super::problem::Problem;
use super::said::{Entry, Said, What};

/// The key of a name.
pub(super) fn key(keys: &'static [Key], name: &str) -> Option<&'static Key> {
    keys.iter().find(|key| key.name == name)
}

pub(super) fn unknown<P: Clone>(entry: &Entry<P>, keys: &'static [Key]) -> Problem<P> {
    let names: Vec<_> = keys.iter().map(|key| key.name).collect();
    let message = format!(
        "`{}` is not known here; expected one of {}",
        entry.name,
        names.join(", ")
    );
    let meant = likeliest(&entry.name, names);
    Problem::new(entry.at.clone(), message).instead(meant.map(str::to_owned))
}

pub(super) fn expected<P: Clone>(value: &Said<P>, what: &str) -> Problem<P> {
    let message = format!("expected {what}, found {}", value.kind());
    Problem::new(value.at.clone(), message)
}

/// The one of several that a word names; the error says which words there are.
pub(super) fn named<T: Copy>(
    text: &str,
    all: &[T],
    name: impl Fn(T) -> &'static str,
) -> Result<T, String> {
    let found = all.iter().copied().find(|one| name(*one) == text);
    found.ok_or_else(|| {
        let names: Vec<_> = all
            .iter()
            .map(|one| format!("\"{}\"", name(*one)))
            .collect();
        format!(
            "`{text}` is not known here; expected {}",
            names.join(" or ")
        )
    })
}

pub(super) fn tempo<P: Clone>(value: &Said<P>) -> Result<Tempo, Problem<P>> {
    match value.what {
        What::Number(rate) if (10.0..=400.0).contains(&rate) => Ok(Tempo::quarters_a_minute(rate)),
        _ => Err(Problem::new(
            value.at.clone(),
            "expected quarter notes a minute, from 10 to 400".to_owned(),
        )),
    }
}

pub(super) fn part<P: Clone>(entry: &Entry<P>) -> Result<Change, Problem<P>> {
    let selector = match entry.name.as_str() {
        "*" => PartSelector::All,
        name => PartSelector::Named(name.to_owned()),
    };
    let text = text_of(&entry.value)?;
    let said = horn::read_part_said(text).map_err(|error| {
        let message = format!(
            "{error}. Write \"horn in F\", \"horn in E flat, old bass clef\", \"not a horn\" and the like"
        );
        Problem::new(entry.value.at.clone(), message)
    })?;
    Ok(Change::Part(selector, said, text.to_owned()))
}

/// How parts are written.
pub(super) fn on_page<P: Clone>(
    entry: &Entry<P>,
    keys: &'static [Key],
) -> Result<Change, Problem<P>> {
    let known = key(keys, &entry.name).ok_or_else(|| unknown(entry, keys))?;
    let text = text_of(&entry.value)?;
    let problem = |message| {
        let words = match known.takes {
            Takes::Choice(words, _) => words(),
            _ => Vec::new(),
        };
        let meant = likeliest(text, words).map(str::to_owned);
        Problem::new(entry.value.at.clone(), message).instead(meant)
    };
    if known.name == "courtesy" {
        let courtesy = named(text, &Courtesy::ALL, Courtesy::name).map_err(problem)?;
        return Ok(Change::Courtesy(courtesy, true));
    }
    if known.name == "courtesy-sign" {
        let [plain, brackets] = COURTESY_SIGNS;
        let word = |in_brackets| if in_brackets { brackets } else { plain };
        let in_brackets = named(text, &[false, true], word).map_err(problem)?;
        return Ok(Change::Brackets(in_brackets));
    }
    if known.name == "pitch" {
        let words = [Some(PagePitch::Written), Some(PagePitch::Sounding), None];
        let word = |pitch: Option<PagePitch>| pitch.map_or(LEAVE, PagePitch::name);
        let pitch = named(text, &words, word).map_err(problem)?;
        return Ok(Change::Pitch(pitch));
    }
    let (rule, name) = SIGNATURE;
    let change = Change::OfRule {
        rule,
        name: name.to_owned(),
        value: Given::Text(text.to_owned()),
    };
    let tried = change.apply_to_house(&mut House::default());
    tried.map(|()| change).map_err(problem)
}

/// What is printed for something, or in which language.
pub(super) fn printed<P: Clone>(
    entry: &Entry<P>,
    keys: &'static [Key],
) -> Result<Change, Problem<P>> {
    if entry.name == "language" {
        let text = text_of(&entry.value)?;
        return match text {
            "part" => Ok(Change::Language(HouseLanguage::Part)),
            name => name
                .parse()
                .map(|language| Change::Language(HouseLanguage::Only(language)))
                .map_err(|message| {
                    let meant = likeliest(text, Language::ALL.map(Language::name));
                    Problem::new(entry.value.at.clone(), message).instead(meant.map(str::to_owned))
                }),
        };
    }
    if let Some(called) = Called::ALL.into_iter().find(|one| one.name() == entry.name) {
        let change = Change::Call(called, text_of(&entry.value)?.to_owned());
        let tried = change.apply_to_house(&mut House::default());
        return match tried {
            Ok(()) => Ok(change),
            Err(message) => Err(Problem::new(entry.value.at.clone(), message)),
        };
    }
    let wording = Wording::ALL
        .into_iter()
        .find(|wording| wording.name() == entry.name)
        .ok_or_else(|| unknown(entry, keys))?;
    let change = Change::Words(wording, texts_of(&entry.value)?);
    change
        .apply_to_house(&mut House::default())
        .map_err(|message| Problem::new(entry.value.at.clone(), message))?;
    Ok(change)
}

/// How parts are named.
pub(super) fn naming<P: Clone>(
    entry: &Entry<P>,
    keys: &'static [Key],
) -> Result<Change, Problem<P>> {
    let known = key(keys, &entry.name).ok_or_else(|| unknown(entry, keys))?;
    let text = text_of(&entry.value)?;
    let problem = |message| Problem::new(entry.value.at.clone(), message);
    match known.name {
        "single" | "shared" => {
            let shared = known.name == "shared";
            horn::check_pattern(text, shared).map_err(problem)?;
            let pattern = text.to_owned();
            Ok(if shared {
                Change::NameOfSeveral(pattern)
            } else {
                Change::NameOfOne(pattern)
            })
        }
        "numerals" => named(text, &Numerals::ALL, Numerals::name)
            .map(Change::Numerals)
            .map_err(|message| {
                let words = Numerals::ALL.map(Numerals::name);
                problem(message).instead(likeliest(text, words).map(str::to_owned))
            }),
        "e-flat" => {
            horn::check_e_flat(text).map_err(problem)?;
            Ok(Change::EFlat(text.to_owned()))
        }
        _ => Ok(Change::Between(text.to_owned())),
    }
}

pub(super) fn severity<P: Clone>(value: &Said<P>) -> Result<Option<Severity>, Problem<P>> {
    let word = text_of(value)?;
    if word == "off" {
        return Ok(None);
    }
    word.parse().map(Some).map_err(|_| {
        let words = Severity::ALL.map(Severity::name).into_iter().chain(["off"]);
        Problem::new(
            value.at.clone(),
            format!("`{word}` is no severity; expected error, warning, information, hint or off"),
        )
        .instead(likeliest(word, words).map(str::to_owned))
    })
}

/// Patterns as they are written, each with its place, and as they are matched.
pub(super) struct Patterns<P> {
    pub(super) written: Vec<(String, P)>,
    pub(super) set: GlobSet,
}

/// Those of files count folders; those of parts take capital letters for small ones.
pub(super) fn patterns<P: Clone>(value: &Said<P>, files: bool) -> Result<Patterns<P>, Problem<P>> {
    let written: Vec<(String, P)> = placed_texts(value)?
        .into_iter()
        .map(|(words, at)| (words.to_owned(), at.clone()))
        .collect();
    let problem = |error: globset::Error| {
        let kind = error.kind();
        Problem::new(
            value.at.clone(),
            format!("this pattern cannot be read: {kind}"),
        )
    };
    let mut set = GlobSetBuilder::new();
    for (pattern, _) in &written {
        let glob = GlobBuilder::new(pattern)
            .literal_separator(files)
            .case_insensitive(!files)
            .build();
        set.add(glob.map_err(problem)?);
    }
    let set = set.build().map_err(problem)?;
    Ok(Patterns { written, set })
}

pub(super) fn given<P>(value: &Said<P>) -> Given {
    match &value.what {
        What::Text(text) => Given::Text(text.clone()),
        What::Number(number) => Given::Number(*number),
        _ => Given::Other(value.kind().to_owned()),
    }
}

pub(super) fn text_of<P: Clone>(value: &Said<P>) -> Result<&str, Problem<P>> {
    match &value.what {
        What::Text(text) => Ok(text),
        _ => Err(expected(value, "words in quotes")),
    }
}

/// Words, or a list of them.
pub(super) fn texts_of<P: Clone>(value: &Said<P>) -> Result<Vec<String>, Problem<P>> {
    let texts = placed_texts(value)?.into_iter();
    Ok(texts.map(|(text, _)| text.to_owned()).collect())
}

/// The same, each with its place.
fn placed_texts<P: Clone>(value: &Said<P>) -> Result<Vec<(&str, &P)>, Problem<P>> {
    let placed = |one| text_of(one).map(|text| (text, &one.at));
    match &value.what {
        What::Text(_) => Ok(vec![placed(value)?]),
        What::List(list) => list.iter().map(placed).collect(),
        _ => Err(expected(value, "words in quotes, or a list of them")),
    }
}

pub(super) fn table_of<P: Clone>(value: &Said<P>) -> Result<&[Entry<P>], Problem<P>> {
    match &value.what {
        What::Table(entries) => Ok(entries),
        _ => Err(expected(value, "a table")),
    }
}
