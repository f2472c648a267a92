//! `workspace/configuration`: what the editor's own settings say, beside those of the house.

use engine::Settings;
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

/// What of our section is for the server or the editor's side, and not for judging.
const OTHER: [&str; 3] = ["path", "inlayHints", "trace"];

/// What an editor's settings say of judging: the same as a settings file. Fails with what is not understood.
pub(in crate::lsp) fn house(settings: &Value) -> Result<Settings, String> {
    Settings::of_editor(section(settings), SECTION, &OTHER)
}

/// Whether an editor has handed over settings, and not only said that they are others now.
pub(in crate::lsp) fn handed_over(settings: &Value) -> bool {
    settings.as_object().is_some_and(|said| !said.is_empty())
}

/// Our own section, of all settings or by itself.
fn section(settings: &Value) -> &Value {
    settings.get(SECTION).unwrap_or(settings)
}

/// Whether sounding pitches are to be shown in the line; `None` when the settings do not say.
///
/// Editors hand over all their settings, or our section of them.
pub(in crate::lsp) fn sounding(settings: &Value) -> Option<bool> {
    section(settings).pointer("/inlayHints/sounding")?.as_bool()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_not_for_judging_is_passed_over() {
        let said = json!({"bellhand": {"path": "", "trace": {"server": "off"}, "inlayHints": {}}});
        assert_eq!(house(&said), Ok(Settings::default()));
        let said = json!({"bellhand": {"level": "student"}});
        assert_ne!(house(&said), Ok(Settings::default()));
        assert!(house(&json!({"level": "loud"})).is_err());
        assert!(!handed_over(&json!({})) && !handed_over(&json!(null)) && handed_over(&said));
    }

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
