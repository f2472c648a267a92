//! One room for each method of the protocol.

pub(super) mod code_action;
pub(super) mod completion;
pub(super) mod configuration;
pub(super) mod diagnostic;
pub(super) mod document_highlight;
pub(super) mod document_symbol;
pub(super) mod folding_range;
pub(super) mod hover;
pub(super) mod initialize;
pub(super) mod inlay_hint;
pub(super) mod picture;
pub(super) mod selection_range;
pub(super) mod semantic_tokens;
pub(super) mod status;
pub(super) mod workspace_folders;
