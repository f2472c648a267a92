//! The reading half of MusicXML: a header, measures that are read once, and what they add up to.

mod assemble;
mod attributes;
mod barline;
mod comments;
mod direction;
mod header;
mod measure;
mod memory;
mod notations;
mod note;
pub(super) mod pitch;
mod state;
mod witnesses;

pub(super) use memory::Memory;
