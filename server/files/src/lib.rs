//! Scores as they lie in folders: found, read and judged several at a time, what is said of each, and writing them back.

mod changed;
pub mod digest;
mod excerpt;
mod identity;
mod in_order;
pub mod input;
mod music;
mod new_file;
mod outcome;
pub mod page;
mod pictured;
mod place;
mod search;
mod share;
pub mod sound;
mod sources;
mod verdict;
pub mod write;

/// The version of the shape of all JSON that is written for programs.
pub const JSON_VERSION: u32 = 1;

pub use excerpt::{Excerpt, Mark};
pub use identity::{Identity, fingerprint, identities, nameless_identities};
pub use in_order::in_order;
pub use input::{Held, Input};
pub use music::of_words;
pub use new_file::NewFile;
pub use outcome::{Outcome, complain};
pub use pictured::{Pictured, PicturedPart, pictured, sounds};
pub use place::{Place, Places, Stretch};
pub use search::{Found, Search, walk};
pub use share::Shard;
pub use sources::{Narrowed, Sources};
pub use verdict::{Edit, Offer, Other, Remark, Verdict, Wanted};
