//! A rule's own words as a page, for the command line and for editors.

use rules::Rule;

/// A rule's page in Markdown: its words, and what can be set.
#[must_use]
pub(crate) fn page(rule: &Rule) -> String {
    let mut page = format!(
        "# {}\n\nUsually: {}\n\n{}\n\n## Settings\n",
        rule.name,
        rule.severity,
        rule.words().trim()
    );
    page.push_str(&format!(
        "In `bellhand.toml`, under `[rules]`: `\"{0}\" = \"off\"`, or another severity.\n",
        rule.name
    ));
    for setting in rule.settings {
        let default = (setting.default)(horn::Level::Professional);
        page.push_str(&format!(
            "- `{}`: {} Default for professional players: {} ({}).\n",
            setting.name, setting.what, default.value, default.source
        ));
    }
    page
}
