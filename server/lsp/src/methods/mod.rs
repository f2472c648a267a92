//! One room for each method of the protocol.

pub(super) mod code_action;
pub(super) mod code_lens;
pub(super) mod completion;
pub(super) mod configuration;
pub(super) mod definition;
pub(super) mod diagnostic;
pub(super) mod document_highlight;
pub(super) mod document_symbol;
mod edit;
pub(super) mod execute_command;
pub(super) mod folding_range;
pub(super) mod formatting;
mod held;
pub(super) mod hover;
pub(super) mod initialize;
pub(super) mod inlay_hint;
pub(super) mod lines;
pub(super) mod picture;
pub(super) mod references;
pub(super) mod rename;
pub(super) mod selection_range;
pub(super) mod semantic_tokens;
pub(super) mod sound;
pub(super) mod status;
pub(super) mod workspace_diagnostic;
pub(super) mod workspace_folders;
pub(super) mod workspace_symbol;
