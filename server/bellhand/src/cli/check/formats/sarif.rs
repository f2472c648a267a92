//! Findings in SARIF 2.1.0 (OASIS, 2020), which code hosts and editors show as they show those of other tools.

use std::path::Path;

use engine::Severity;
use files::{Edit, Identity, Offer, Outcome, Remark, Stretch, Wanted};
use rules::explain::page;
use serde::Serialize;
use serde_json::{Value, json};
use tower_lsp::lsp_types::Url;

use super::{Ending, Score, Shape, listed};
use crate::cli::check::tally::Tally;

/// Where the standard's schema is found.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json";

/// What a fingerprint is called that is made of rule and the bar's own music, and of no line numbers and names of parts,
/// which a fix may change.
const MUSIC: &str = "music/v2";

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
struct Log {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run {
    tool: Value,
    column_kind: &'static str,
    /// Written one by one.
    results: [(); 0],
    invocations: [Value; 1],
}

impl Log {
    const fn new(tool: Value, invocation: Value) -> Self {
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

/// This program and its rules.
fn tool() -> Value {
    json!({ "driver": {
        "name": env!("CARGO_PKG_NAME"),
        "version": env!("CARGO_PKG_VERSION"),
        "rules": rules::ALL.iter().map(|rule| described(rule)).collect::<Vec<_>>(),
    } })
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

fn described(rule: &rules::Rule) -> Value {
    let page = page(rule);
    json!({
        "id": rule.name,
        "shortDescription": { "text": rule.summary() },
        "help": { "text": page, "markdown": page },
        "defaultConfiguration": { "level": level(rule.severity) },
    })
}

/// The standard knows three levels; what is only information or a hint is a note.
const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Information | Severity::Hint => "note",
    }
}

fn result(address: &str, remark: &Remark, identity: &Identity) -> Value {
    let mut location = json!({ "physicalLocation": physical(address, remark.at) });
    if let Some(part) = remark.who() {
        location["logicalLocations"] = json!([{ "name": part, "kind": "member" }]);
    }
    let related: Vec<Value> = remark
        .others
        .iter()
        .map(|other| {
            json!({
                "message": { "text": other.message },
                "physicalLocation": physical(address, other.at),
            })
        })
        .collect();
    // A fix that cannot be proven is not offered.
    let fixes: Vec<Value> = remark
        .fixes
        .iter()
        .filter_map(|fix| Some(change(address, fix, fix.edits.as_deref()?)))
        .collect();
    let at = rules::ALL.iter().position(|rule| rule.name == remark.rule);
    let mut result = json!({
        "ruleId": remark.rule,
        "ruleIndex": at,
        "level": level(remark.severity),
        "message": { "text": format!("{} [{}]", remark.message, remark.source) },
        "locations": [location],
        "partialFingerprints": {
            MUSIC: format!("{}:{}", identity.of, identity.occurrence),
        },
    });
    if !related.is_empty() {
        result["relatedLocations"] = json!(related);
    }
    if !fixes.is_empty() {
        result["fixes"] = json!(fixes);
    }
    result
}

fn change(address: &str, fix: &Offer, edits: &[Edit]) -> Value {
    let replacements: Vec<Value> = edits
        .iter()
        .map(|edit| {
            json!({
                "deletedRegion": region(edit.at),
                "insertedContent": { "text": edit.text },
            })
        })
        .collect();
    json!({
        "description": { "text": format!("{} ({})", fix.title, fix.safety) },
        "artifactChanges": [{
            "artifactLocation": { "uri": address },
            "replacements": replacements,
        }],
    })
}

fn physical(address: &str, at: Stretch) -> Value {
    json!({
        "artifactLocation": { "uri": address },
        "region": region(at),
    })
}

fn region(at: Stretch) -> Value {
    json!({
        "startLine": at.start.line,
        "startColumn": at.start.column,
        "endLine": at.end.line,
        "endColumn": at.end.column,
    })
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
