//! Findings in SARIF 2.1.0 (OASIS, 2020), which code hosts and editors show as they show those of other tools.

use std::path::Path;

use engine::Severity;
use files::{Edit, Identity, Offer, Outcome, Remark, Stretch, Wanted};
use rules::explain::page;
use serde::ser::SerializeStruct as _;
use serde::{Serialize, Serializer};
use serde_json::{Value, json};
use tower_lsp::lsp_types::Url;

use super::{Ending, Score, Shape, listed};
use crate::cli::check::tally::Tally;

/// Where the standard's schema is found.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json";

/// How deep the list of results stands.
const DEPTH: usize = 4;

/// All findings as results of one run.
pub(crate) struct Sarif;

impl Shape for Sarif {
    fn wanted(&self) -> Wanted {
        Wanted {
            edits: true,
            ..Wanted::default()
        }
    }

    fn open(&self, _: &Tally) -> std::io::Result<Vec<u8>> {
        let (head, _) = listed::around(&Log::new(tool(), Value::Null), "results")?;
        Ok(head.into_bytes())
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let address = address(score.path);
        let identities = score.identities();
        let results = score.remarks().zip(&identities);
        let results = results.map(|(remark, is)| result(&address, remark, is));
        listed::items(results, DEPTH)
    }

    fn between(&self) -> &'static [u8] {
        b","
    }

    fn close(&self, ending: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        // The tool, with the pages of all rules, stands before the results.
        let (_, tail) = listed::around(&Log::new(Value::Null, invocation(ending)), "results")?;
        Ok((listed::end(ending.any, DEPTH) + &tail).into_bytes())
    }
}

#[derive(Serialize)]
struct Log<T> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<T>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<T> {
    tool: T,
    column_kind: &'static str,
    /// Written one by one.
    results: [(); 0],
    invocations: [Value; 1],
}

impl<T> Log<T> {
    const fn new(tool: T, invocation: Value) -> Self {
        let run = Run {
            tool,
            column_kind: "unicodeCodePoints",
            results: [],
            invocations: [invocation],
        };
        Self {
            schema: SCHEMA,
            version: "2.1.0",
            runs: [run],
        }
    }
}

#[derive(Serialize)]
struct Tool {
    driver: Driver,
}

#[derive(Serialize)]
struct Driver {
    name: &'static str,
    version: &'static str,
    rules: Vec<Described>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Described {
    id: &'static str,
    short_description: Text<&'static str>,
    help: Help,
    default_configuration: Configuration,
}

#[derive(Serialize)]
struct Text<T> {
    text: T,
}

/// A rule's page.
struct Help(String);

impl Serialize for Help {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut both = serializer.serialize_struct("Help", 2)?;
        both.serialize_field("text", &self.0)?;
        both.serialize_field("markdown", &self.0)?;
        both.end()
    }
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

/// This program and its rules.
fn tool() -> Tool {
    Tool {
        driver: Driver {
            name: env!("CARGO_PKG_NAME"),
            version: env!("CARGO_PKG_VERSION"),
            rules: rules::ALL.iter().map(|rule| described(rule)).collect(),
        },
    }
}

/// How the run went, and what could not be done.
fn invocation(ending: &Ending<'_>) -> Value {
    let notes = ending
        .complaints
        .iter()
        .map(|why| json!({ "level": "error", "message": { "text": why } }));
    json!({
        "executionSuccessful": ending.outcome != Outcome::Failed,
        "exitCode": ending.outcome.code(),
        "toolExecutionNotifications": notes.collect::<Vec<_>>(),
    })
}

fn described(rule: &'static rules::Rule) -> Described {
    Described {
        id: rule.name,
        short_description: Text {
            text: rule.summary(),
        },
        help: Help(page(rule)),
        default_configuration: Configuration {
            level: level(rule.severity),
        },
    }
}

/// The standard knows three levels; what is only information or a hint is a note.
const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Information | Severity::Hint => "note",
    }
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Said<'a> {
    rule_id: &'a str,
    rule_index: Option<usize>,
    level: &'static str,
    message: Text<String>,
    locations: [Location<'a>; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Related<'a>>,
    partial_fingerprints: Fingerprints,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<Fix<'a>>,
}

#[derive(Serialize)]
struct Fingerprints {
    /// Made of rule and the bar's own music, and of no line numbers and names of parts, which a fix may change.
    #[serde(rename = "music/v2")]
    music: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location<'a> {
    physical_location: Physical<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    logical_locations: Option<[Logical; 1]>,
}

#[derive(Serialize)]
struct Logical {
    name: String,
    kind: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Related<'a> {
    message: Text<&'a str>,
    physical_location: Physical<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Physical<'a> {
    artifact_location: Artifact<'a>,
    region: Region,
}

#[derive(Serialize)]
struct Artifact<'a> {
    uri: &'a str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Fix<'a> {
    description: Text<String>,
    artifact_changes: [Change<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Change<'a> {
    artifact_location: Artifact<'a>,
    replacements: Vec<Replacement<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Replacement<'a> {
    deleted_region: Region,
    inserted_content: Text<&'a str>,
}

fn result<'a>(address: &'a str, remark: &'a Remark, identity: &Identity) -> Said<'a> {
    let part = remark.who().map(|name| {
        let kind = "member";
        [Logical { name, kind }]
    });
    let related = remark.others.iter().map(|other| Related {
        message: Text {
            text: other.message.as_str(),
        },
        physical_location: physical(address, other.at),
    });
    // A fix that cannot be proven is not offered.
    let fixes = remark
        .fixes
        .iter()
        .filter_map(|fix| Some(change(address, fix, fix.edits.as_deref()?)));
    Said {
        rule_id: &remark.rule,
        rule_index: rules::ALL.iter().position(|rule| rule.name == remark.rule),
        level: level(remark.severity),
        message: Text {
            text: format!("{} [{}]", remark.message, remark.source),
        },
        locations: [Location {
            physical_location: physical(address, remark.at),
            logical_locations: part,
        }],
        related_locations: related.collect(),
        partial_fingerprints: Fingerprints {
            music: format!("{}:{}", identity.of, identity.occurrence),
        },
        fixes: fixes.collect(),
    }
}

fn change<'a>(address: &'a str, fix: &Offer, edits: &'a [Edit]) -> Fix<'a> {
    let replacements = edits.iter().map(|edit| Replacement {
        deleted_region: region(edit.at),
        inserted_content: Text {
            text: edit.text.as_str(),
        },
    });
    Fix {
        description: Text {
            text: format!("{} ({})", fix.title, fix.safety),
        },
        artifact_changes: [Change {
            artifact_location: Artifact { uri: address },
            replacements: replacements.collect(),
        }],
    }
}

const fn physical(address: &str, at: Stretch) -> Physical<'_> {
    Physical {
        artifact_location: Artifact { uri: address },
        region: region(at),
    }
}

const fn region(at: Stretch) -> Region {
    Region {
        start_line: at.start.line,
        start_column: at.start.column,
        end_line: at.end.line,
        end_column: at.end.column,
    }
}

/// A file as an address: relative where the path was, so that it holds wherever the folder is looked at.
fn address(path: &Path) -> String {
    if let Ok(whole) = Url::from_file_path(path) {
        return whole.into();
    }
    // What a path can hold that an address cannot is escaped; a colon first would make a scheme of its beginning.
    let names = path.components().map(|name| {
        let name = name.as_os_str().to_string_lossy();
        let mut escaped = String::with_capacity(name.len());
        for byte in name.bytes() {
            if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
                escaped.push(char::from(byte));
            } else {
                escaped.push_str(&format!("%{byte:02X}"));
            }
        }
        escaped
    });
    names.collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_an_address() {
        assert_eq!(address(Path::new("a b/c:d#.abc")), "a%20b/c%3Ad%23.abc");
        assert_eq!(
            address(Path::new("./parts/hörner.abc")),
            "./parts/h%C3%B6rner.abc"
        );
        #[cfg(unix)]
        assert_eq!(
            address(Path::new("/pier/a b.abc")),
            "file:///pier/a%20b.abc"
        );
    }
}
