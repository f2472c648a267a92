//! The program: a language server and a command line over one engine.

mod class;
pub mod cli;
mod explain;
pub mod lsp;
mod pages;
mod schema;
