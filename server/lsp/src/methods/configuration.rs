//! `workspace/configuration`: what the editor's own settings say, beside those of the house.

use std::path::PathBuf;

use engine::Settings;
use serde_json::Value;
use tower_lsp::lsp_types::{ConfigurationItem, Url};

/// The section of an editor's settings that is ours.
pub(super) const SECTION: &str = "bellhand";

/// What of our section is for the server itself or the editor's side, and not for judging.
const OTHER: [&str; 4] = ["path", "inlayHints", "trace", "wholeFolder"];

/// What an editor's settings say.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Said {
    /// How to judge where no file says it: the same as a file can say, and what of it is not understood.
    pub(crate) house: (Settings, Vec<String>),
    /// Whether sounding pitches are to be shown in the line, if that is said.
    pub(crate) sounding: Option<bool>,
}

/// What an editor's settings say, for all documents and for those in its folders.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Answers {
    /// Where nothing is said of the folder; `None` leaves what was said before.
    pub(crate) everywhere: Option<Said>,
    /// The folders of which anything is said; `None` leaves what was said before.
    pub(crate) folders: Option<Vec<(PathBuf, Said)>>,
}

impl Answers {
    /// What is said of all, and of no folder.
    pub(crate) const fn everywhere(said: Said) -> Self {
        Self {
            everywhere: Some(said),
            folders: None,
        }
    }
}

/// What an editor is asked for: its settings for all, and those of each folder.
pub(crate) fn wanted(folders: &[Url]) -> Vec<ConfigurationItem> {
    let scopes = std::iter::once(None).chain(folders.iter().cloned().map(Some));
    scopes
        .map(|scope_uri| ConfigurationItem {
            scope_uri,
            section: Some(SECTION.to_owned()),
        })
        .collect()
}

/// What an editor answers to that.
pub(crate) fn answers(sections: &[Value], folders: &[Url]) -> Answers {
    let everywhere = sections.first().and_then(said);
    let each = folders.iter().zip(sections.iter().skip(1));
    let of_folder = |(uri, section): (&Url, &Value)| {
        let mut own = said(section)?;
        // What is not understood of all is told once, and not of each folder.
        if everywhere
            .as_ref()
            .is_none_or(|all| all.house.1 != own.house.1)
        {
            for problem in &mut own.house.1 {
                *problem = format!("in {uri}: {problem}");
            }
        }
        Some((uri.to_file_path().ok()?, own))
    };
    let folders = each.filter_map(of_folder).collect();
    Answers {
        everywhere,
        folders: Some(folders),
    }
}

/// Reads all settings of an editor, or our section of them; `None` when they say nothing to us.
pub(crate) fn said(settings: &Value) -> Option<Said> {
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
        let own = json!({"inlayHints": {"sounding": true}, "path": "", "trace": {"server": "off"}, "wholeFolder": true});
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
    fn each_folder_has_its_own_say() {
        let [pier, quay, far] = ["file:///pier", "file:///quay", "untitled:far"]
            .map(|address| Url::parse(address).unwrap());
        let folders = [pier.clone(), quay.clone(), far];
        let scopes: Vec<_> = wanted(&folders)
            .into_iter()
            .map(|item| item.scope_uri)
            .collect();
        assert_eq!(scopes[..3], [None, Some(pier), Some(quay)]);
        let student = json!({"level": "student"});
        let odd = json!({"level": "loud"});
        let of = |sections: &[Value]| answers(sections, &folders).folders.unwrap();
        let some = of(&[json!(null), json!({}), student.clone(), student.clone()]);
        assert_eq!(some, [(PathBuf::from("/quay"), said(&student).unwrap())]);
        assert_eq!(of(&[]), []);
        let told = |sections: &[Value]| of(sections)[0].1.house.1[0].clone();
        assert!(told(&[student, odd.clone()]).starts_with("in file:///pier: bellhand.level"));
        assert!(told(&[odd.clone(), odd]).starts_with("bellhand.level"));
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
