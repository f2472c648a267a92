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

/// What of our section is for the server itself or the editor's side, and not for judging.
const OTHER: [&str; 3] = ["path", "inlayHints", "trace"];

/// What an editor's settings say.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::lsp) struct Said {
    /// How to judge where no file says it: the same as a file can say, and what of it is not understood.
    pub(in crate::lsp) house: (Settings, Vec<String>),
    /// Whether sounding pitches are to be shown in the line, if that is said.
    pub(in crate::lsp) sounding: Option<bool>,
}

/// Reads all settings of an editor, or our section of them; `None` when they say nothing to us.
pub(in crate::lsp) fn said(settings: &Value) -> Option<Said> {
    let named = settings.get(SECTION);
    let section = named.unwrap_or(settings);
    let table = section.as_object()?;
    let ours = |name: &String| {
        let name = name.as_str();
        OTHER.contains(&name) || engine::KEYS.iter().any(|key| key.name == name)
    };
    // Settings for others alone, as some clients hand over, are no slips of ours.
    if named.is_none() && !table.keys().any(ours) {
        return None;
    }
    Some(Said {
        house: Settings::of_editor(section, SECTION, &OTHER),
        sounding: section
            .pointer("/inlayHints/sounding")
            .and_then(Value::as_bool),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn all_settings_or_our_own() {
        let own = json!({"inlayHints": {"sounding": true}, "path": "", "trace": {"server": "off"}});
        let told = said(&own).unwrap();
        assert_eq!(told.sounding, Some(true));
        assert_eq!(told.house, (Settings::default(), Vec::new()));
        assert_eq!(said(&json!({"bellhand": own, "other": 1})), Some(told));
        for silent in [json!(null), json!({}), json!({"other": {"level": 3}})] {
            assert_eq!(said(&silent), None);
        }
        let empty = said(&json!({"bellhand": {}})).unwrap();
        assert_eq!(
            (empty.house, empty.sounding),
            ((Settings::default(), Vec::new()), None)
        );
    }

    #[test]
    fn slips_are_told() {
        let loud = said(&json!({"level": "loud"})).unwrap();
        assert!(loud.house.1[0].starts_with("bellhand.level: "));
        let misspelt = said(&json!({"bellhand": {"levle": "student"}})).unwrap();
        assert_eq!(misspelt.house.1.len(), 1);
        let odd = said(&json!({"inlayHints": {"sounding": "yes"}})).unwrap();
        assert_eq!(odd.sounding, None);
    }
}
