//! `workspace/configuration`: what the editor's own settings say, beside those of the house.

use serde_json::Value;
use tower_lsp::lsp_types::ConfigurationItem;

/// The section of an editor's settings that is ours.
pub(super) const SECTION: &str = "bellhand";

/// What an editor is asked for.
pub(in crate::lsp) fn wanted() -> Vec<ConfigurationItem> {
    vec![ConfigurationItem {
        scope_uri: None,
        section: Some(SECTION.to_owned()),
    }]
}

/// Whether sounding pitches are to be shown in the line; `None` when the settings do not say.
///
/// Editors hand over all their settings, or our section of them.
pub(in crate::lsp) fn sounding(settings: &Value) -> Option<bool> {
    settings
        .get(SECTION)
        .unwrap_or(settings)
        .pointer("/inlayHints/sounding")?
        .as_bool()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn all_settings_or_our_own() {
        let own = json!({"inlayHints": {"sounding": true}});
        assert_eq!(sounding(&own), Some(true));
        assert_eq!(sounding(&json!({"bellhand": own, "other": 1})), Some(true));
        for silent in [
            json!(null),
            json!({}),
            json!({"inlayHints": {"sounding": "yes"}}),
        ] {
            assert_eq!(sounding(&silent), None);
        }
    }
}
