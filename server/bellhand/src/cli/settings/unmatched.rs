//! Names and patterns of parts in settings that no score of a folder has a part for.

use std::collections::BTreeMap;
use std::path::Path;

use engine::{Origin, PartsNamed};
use files::{Narrowed, Sources, complain, input};

/// Tells what the settings files in a folder, or below it, say of parts that none of the scores there has. Nothing is told
/// where a score cannot be read, or there is none.
pub(super) fn tell(folder: &Path, settings: Option<&Path>) {
    let sources = Sources {
        paths: vec![folder.to_owned()],
        notation: None,
        settings: settings.map(Path::to_owned),
        stdin_name: None,
    };
    let mut scores = 0;
    let mut names: Vec<String> = Vec::new();
    // By where it was said, and what; whether any score has it.
    let mut said: BTreeMap<(Origin, String), bool> = BTreeMap::new();
    let unread = input::in_turn(&sources, &Narrowed::default(), |input| {
        scores += 1;
        let judged = &input.judged;
        for named in judged.settings().parts_named() {
            let PartsNamed { origin, words } = &named;
            let known = said.entry((origin.clone(), words.clone()));
            *known.or_default() |= named.is_in(judged);
        }
        for placed in &judged.document().score().pieces {
            let parts = placed.piece.parts.iter();
            names.extend(parts.filter_map(|part| Some(part.name.as_ref()?.text.clone())));
        }
        names.sort_unstable();
        names.dedup();
    });
    if unread > 0 || scores == 0 {
        return;
    }
    // What stands in a file further up, or elsewhere, may speak of scores that were not looked at.
    let straight = |path: &Path| std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let below = straight(folder);
    let looked_at = |origin: &Origin| straight(&origin.file).starts_with(&below);
    let unknown = said.iter().filter(|(_, known)| !**known);
    for (origin, words) in unknown.map(|(named, _)| named) {
        if !looked_at(origin) {
            continue;
        }
        let meant = horn::likeliest(words, names.iter().map(String::as_str));
        let meant = meant.map(|meant| format!("; did you mean \"{meant}\"?"));
        complain(&format!(
            "{}:{}: no part of the scores below {} is called \"{words}\", so nothing is set by it{}",
            origin.file.display(),
            origin.line,
            folder.display(),
            meant.unwrap_or_default()
        ));
    }
}
