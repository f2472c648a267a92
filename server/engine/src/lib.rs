//! A document judged by all rules, and fixed under guard.

mod fix;
mod guard;
mod ignore;
mod instruction;
mod judged;
mod judging;
mod lesson;
mod offers;
mod proven;
mod rewrite;
mod settings;
mod staff;
mod together;

pub use fix::{Applied, Fixed, Which};
pub use guard::Refused;
pub use instruction::suggest_instruction;
pub use judged::Judged;
pub use lesson::{Asked, Change, Changed, Lesson, MarkSum, Marks, NewFault, Task};
pub use offers::Offers;
pub use proven::Proven;
pub use reading::{Stop, StopFlag, Stopped};
pub use rewrite::{HornOf, is_written_for};
pub use rules::{Finding, Fix, House, Related, Safety, Severity};
pub use settings::{
    FILE_NAME, Found, InForce, KEYS, Key, OnDisk, Origin, PartsNamed, SetOfRule, Settings,
    SettingsError, Suggestion, Takes, Texts, discover, load, suggest,
};
