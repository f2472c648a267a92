//! Settings as they were said, in a file or by an editor, each value with its place.

use std::ops::Range;

use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value and where it stands: a range of bytes in a file, or the way to it in an editor's settings.
#[derive(Debug)]
pub(super) struct Said<P> {
    pub(super) at: P,
    pub(super) what: What<P>,
}

/// What can be said.
#[derive(Debug)]
pub(super) enum What<P> {
    /// Words.
    Text(String),
    /// A number.
    Number(f64),
    /// Several values.
    List(Vec<Said<P>>),
    /// Names and what they are set to.
    Table(Vec<Entry<P>>),
    /// Anything else, by the name of its kind.
    Other(String),
}

/// A name in a table.
#[derive(Debug)]
pub(super) struct Entry<P> {
    pub(super) name: String,
    pub(super) at: P,
    pub(super) value: Said<P>,
}

impl<P> Said<P> {
    /// The kind of value, for who expected another.
    pub(super) fn kind(&self) -> &str {
        match &self.what {
            What::Text(_) => "words",
            What::Number(_) => "a number",
            What::List(_) => "a list",
            What::Table(_) => "a table",
            What::Other(kind) => kind,
        }
    }
}

/// The entries of a file, and what TOML does not allow in it, each with its bytes.
pub(super) type File = (Vec<Entry<Range<usize>>>, Vec<(Range<usize>, String)>);

/// Reads the text of a file as far as it can be read, with what TOML does not allow, and where.
pub(super) fn toml(text: &str) -> File {
    let (table, errors) = DeTable::parse_recoverable(text);
    let errors = errors
        .into_iter()
        .map(|error| (error.span().unwrap_or_default(), error.message().to_owned()));
    (entries(table.get_ref()), errors.collect())
}

fn entries(table: &DeTable<'_>) -> Vec<Entry<Range<usize>>> {
    let entry = |(name, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
        let text: &std::borrow::Cow<'_, str> = name.get_ref();
        Entry {
            name: text.to_string(),
            at: name.span(),
            value: from_toml(value),
        }
    };
    let mut entries: Vec<_> = table.iter().map(entry).collect();
    // In the order in which they were written, so that what stands later wins.
    entries.sort_by_key(|entry| entry.at.start);
    entries
}

fn from_toml(value: &Spanned<DeValue<'_>>) -> Said<Range<usize>> {
    let other = || What::Other(format!("of the kind {}", value.get_ref().type_str()));
    let number = |text: &str| text.parse().map_or_else(|_| other(), What::Number);
    let what = match value.get_ref() {
        DeValue::String(text) => What::Text(text.to_string()),
        DeValue::Integer(digits) => number(digits.as_str()),
        DeValue::Float(digits) => number(digits.as_str()),
        DeValue::Array(list) => What::List(list.iter().map(from_toml).collect()),
        DeValue::Table(table) => What::Table(entries(table)),
        DeValue::Boolean(_) | DeValue::Datetime(_) => other(),
    };
    let at = value.span();
    Said { at, what }
}

/// Takes an editor's settings over; `at` is the way to them. What is null is not said at all.
pub(super) fn json(value: &Value, at: &str) -> Said<String> {
    let what = match value {
        Value::String(text) => What::Text(text.clone()),
        Value::Number(number) => number
            .as_f64()
            .map_or_else(|| What::Other("too long a number".to_owned()), What::Number),
        Value::Object(table) => What::Table(
            table
                .iter()
                .filter(|(_, value)| !value.is_null())
                .map(|(name, value)| {
                    let at = format!("{at}.{name}");
                    let value = json(value, &at);
                    let name = name.clone();
                    Entry { name, at, value }
                })
                .collect(),
        ),
        // Where one kind of table serves for both, an empty one may come as a list.
        Value::Array(list) if list.is_empty() => What::Table(Vec::new()),
        Value::Array(list) => What::List(
            list.iter()
                .enumerate()
                .map(|(index, value)| json(value, &format!("{at}.{index}")))
                .collect(),
        ),
        Value::Bool(_) => What::Other("yes or no".to_owned()),
        Value::Null => What::Other("nothing".to_owned()),
    };
    Said {
        at: at.to_owned(),
        what,
    }
}
