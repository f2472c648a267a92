//! Findings in SARIF 2.1.0 (OASIS, 2020), which code hosts and editors show as they show those of other tools.

use std::io::Write;
use std::path::Path;

use engine::{Finding, Fix, Offers, Severity};
use notation::{Document, TextEdit};
use score::Span;
use serde::{Serialize, Serializer};
use serde_json::{Value, json};
use tower_lsp::lsp_types::Url;

use super::input::Input;
use super::place::place;
use crate::explain::page;

/// Where the standard's schema is found.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json";

#[derive(Serialize)]
struct Log<'a> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'a> {
    tool: Value,
    column_kind: &'static str,
    results: Results<'a>,
}

/// All findings, each made into a result when it is written.
struct Results<'a>(&'a [Input]);

impl Serialize for Results<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let results = self.0.iter().flat_map(|input| {
            let score = Score {
                document: input.judged.document(),
                offers: input.judged.offers(),
                address: address(&input.path),
            };
            let findings = input.judged.findings().iter();
            findings.map(move |finding| result(&score, finding))
        });
        serializer.collect_seq(results)
    }
}

/// A file, what is offered to fix it, and its address.
struct Score<'a> {
    document: &'a Document,
    offers: Offers<'a>,
    address: String,
}

/// Writes the report.
pub(crate) fn write(out: &mut impl Write, inputs: &[Input]) -> std::io::Result<()> {
    let run = Run {
        tool: json!({ "driver": {
            "name": env!("CARGO_PKG_NAME"),
            "version": env!("CARGO_PKG_VERSION"),
            "rules": rules::ALL.iter().map(|rule| described(rule)).collect::<Vec<_>>(),
        } }),
        column_kind: "unicodeCodePoints",
        results: Results(inputs),
    };
    let log = Log {
        schema: SCHEMA,
        version: "2.1.0",
        runs: [run],
    };
    serde_json::to_writer_pretty(&mut *out, &log)?;
    writeln!(out)
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

fn result<'a>(score: &Score<'a>, finding: &'a Finding) -> Value {
    let mut location = json!({ "physicalLocation": physical(score, finding.span) });
    if let Some(part) = finding.who() {
        location["logicalLocations"] = json!([{ "name": part, "kind": "member" }]);
    }
    let related: Vec<Value> = finding
        .related
        .iter()
        .map(|other| {
            json!({
                "message": { "text": other.message },
                "physicalLocation": physical(score, other.span),
            })
        })
        .collect();
    // A fix that cannot be proven is not offered.
    let fixes: Vec<Value> = finding
        .fixes
        .iter()
        .filter_map(|fix| Some(change(score, fix, score.offers.edits(fix)?)))
        .collect();
    let at = rules::ALL.iter().position(|rule| rule.name == finding.rule);
    let mut result = json!({
        "ruleId": finding.rule,
        "ruleIndex": at,
        "level": level(finding.severity),
        "message": { "text": format!("{} [{}]", finding.message, finding.source) },
        "locations": [location],
    });
    if !related.is_empty() {
        result["relatedLocations"] = json!(related);
    }
    if !fixes.is_empty() {
        result["fixes"] = json!(fixes);
    }
    result
}

fn change(score: &Score<'_>, fix: &Fix, edits: &[TextEdit]) -> Value {
    let replacements: Vec<Value> = edits
        .iter()
        .map(|edit| {
            json!({
                "deletedRegion": region(score, edit.span),
                "insertedContent": { "text": edit.text },
            })
        })
        .collect();
    json!({
        "description": { "text": format!("{} ({})", fix.title, fix.safety.name()) },
        "artifactChanges": [{
            "artifactLocation": { "uri": score.address },
            "replacements": replacements,
        }],
    })
}

fn physical(score: &Score<'_>, span: Span) -> Value {
    json!({
        "artifactLocation": { "uri": score.address },
        "region": region(score, span),
    })
}

fn region(score: &Score<'_>, span: Span) -> Value {
    let start = place(score.document, span.start);
    let end = place(score.document, span.end);
    json!({
        "startLine": start.line,
        "startColumn": start.column,
        "endLine": end.line,
        "endColumn": end.column,
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
