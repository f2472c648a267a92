//! `workspace/symbol`: pieces and parts by their names, in every score of the editor's folders.

use std::sync::Arc;

use reading::ToTheEnd;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::{Location, SymbolInformation, SymbolKind, Url};

use crate::shared::Shared;
use crate::unopened::{self, Named, Told};

/// The most that is listed; who looks for a name narrows it down. Bellhand's own choice.
const MOST: usize = 500;

/// All pieces and parts whose names hold some words, whatever their case.
pub(crate) async fn symbols(words: String, shared: Arc<Shared>) -> Result<Vec<SymbolInformation>> {
    let all = tokio::task::spawn_blocking({
        let shared = Arc::clone(&shared);
        move || unopened::scores(&shared)
    });
    let paths = all.await.map_err(|_| Error::internal_error())?;
    let words = words.to_lowercase();
    let mut found = Vec::new();
    for path in paths {
        if found.len() >= MOST {
            break;
        }
        let open = match Url::from_file_path(&path) {
            Ok(uri) => shared.view_now(&uri).await?,
            Err(()) => None,
        };
        let shared = Arc::clone(&shared);
        let told = tokio::task::spawn_blocking(move || match open {
            Some(view) => Some(Arc::new(Told::of(&view, &shared))),
            None => {
                let Ok(told) = shared.unopened.told(&path, &shared, &ToTheEnd);
                told
            }
        });
        let Some(told) = told.await.map_err(|_| Error::internal_error())? else {
            continue;
        };
        let named = told.names.iter();
        let meant = named.filter(|named| named.name.to_lowercase().contains(&words));
        found.extend(meant.map(|named| symbol(named, &told.uri)));
    }
    found.truncate(MOST);
    Ok(found)
}

#[expect(
    deprecated,
    reason = "the type still has its old field, which must be filled"
)]
fn symbol(named: &Named, uri: &Url) -> SymbolInformation {
    SymbolInformation {
        name: named.name.clone(),
        kind: match named.of {
            Some(_) => SymbolKind::CLASS,
            None => SymbolKind::MODULE,
        },
        tags: None,
        deprecated: None,
        location: Location::new(uri.clone(), named.range),
        container_name: named.of.clone().filter(|of| !of.is_empty()),
    }
}
