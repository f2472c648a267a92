//! `textDocument/formatting`: the barlines of voices that are played together brought under one another.

use tower_lsp::jsonrpc::Result;
use tower_lsp::lsp_types::TextEdit;

use crate::shared::request_failed;
use crate::view::View;

/// The edits, which touch nothing but spaces before barlines. Fails, saying why, where they would change the music.
pub(crate) fn format(view: &View) -> Result<Vec<TextEdit>> {
    let proven = view.judged.align();
    let proven = proven.map_err(|why| request_failed(why.to_string()))?;
    let edits = proven.edits().iter();
    Ok(edits
        .map(|edit| TextEdit::new(view.range(edit.span), edit.text.clone()))
        .collect())
}
