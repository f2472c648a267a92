//! MusicXML 4.0, as text or in its compressed package.

mod ids;
mod note_value;
mod outline;
mod package;
mod read;
mod scan;
mod syntax;
mod tree;
mod write;

pub(crate) use ids::ids;
pub(crate) use package::Package;
pub(crate) use syntax::Syntax;
pub(crate) use write::{Source, write};
