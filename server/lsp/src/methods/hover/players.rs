//! What is said of each player of a staff: once where it holds for all, else with the player's number before it.

use reading::HornPart;

/// What `words` finds to say of each of these players' lines, put together.
pub(super) fn said<'a>(
    lines: impl IntoIterator<Item = &'a HornPart>,
    mut words: impl FnMut(&'a HornPart) -> Option<String>,
) -> Vec<String> {
    let lines: Vec<&HornPart> = lines.into_iter().collect();
    let said: Vec<(Option<u8>, String)> = lines
        .iter()
        .filter_map(|line| Some((line.player, words(line)?)))
        .collect();
    let Some((_, first)) = said.first() else {
        return Vec::new();
    };
    if said.len() == lines.len() && said.iter().all(|(_, other)| other == first) {
        return vec![first.clone()];
    }
    said.iter()
        .map(|(player, words)| match player {
            Some(player) => format!("player {player}: {words}"),
            None => words.clone(),
        })
        .collect()
}
