//! Analysis of a document by all rules, and fixing it under guard.

mod analysis;
mod discovery;
mod fix;
mod guard;
mod ignore;
mod rewrite;
mod settings;
mod staff;

pub use analysis::{Analyser, Analysis};
pub use discovery::{FILE_NAME, discover};
pub use fix::{Applied, Fixed, Which, edits, fix_all};
pub use guard::Refused;
pub use rewrite::{HornOf, is_written_for, rewrite};
pub use rules::{Finding, Fix, House, Related, Safety, Severity};
pub use settings::{Settings, SettingsError};
