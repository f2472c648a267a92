//! Why the rules that speak at a place are as grave and as strict as they are: what of them is set, and where.

use engine::{Finding, Origin, SetOfRule, Settings};
use tower_lsp::lsp_types::Url;

/// What is set of the rules of some findings otherwise than by default, a line for each; nothing where nothing is.
/// `links` tells whether the client can open the files.
pub(super) fn words(findings: &[&Finding], settings: &Settings, links: bool) -> Option<String> {
    let mut lines: Vec<String> = Vec::new();
    for finding in findings {
        let Some(rule) = rules::rule(finding.rule) else {
            continue;
        };
        let set = settings.set_of_rule(rule, finding.part.as_deref());
        if set.is_empty() {
            continue;
        }
        let set: Vec<String> = set.iter().map(|one| said(one, links)).collect();
        let line = format!("*{}*: {}", rule.name, set.join("; "));
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    (!lines.is_empty()).then(|| lines.join("  \n"))
}

/// What is set, and where.
fn said(set: &SetOfRule, links: bool) -> String {
    let place = match &set.origin {
        Some(origin) => place(origin, links),
        None => "the editor's settings".to_owned(),
    };
    format!("{} {}: {place}", set.name, set.value)
}

/// A line of a settings file, by the name of the file alone, which is short.
fn place(Origin { file, line }: &Origin, links: bool) -> String {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let words = format!("{name} line {line}");
    match Url::from_file_path(file) {
        Ok(mut address) if links => {
            address.set_fragment(Some(&format!("L{line}")));
            // A bracket would end the link.
            let address = address.as_str().replace('(', "%28").replace(')', "%29");
            format!("[{words}]({address})")
        }
        _ => words,
    }
}
