//! A document judged by all rules, and fixed under guard.

mod align;
mod cued;
mod fix;
mod guard;
mod ignore;
mod judged;
mod judging;
mod lesson;
mod mentions;
mod offers;
mod proven;
mod rewrite;
mod settings;
mod staff;
mod suggest;
mod together;

pub use fix::{Applied, Fixed, Which};
pub use guard::Refused;
pub use judged::Judged;
pub use lesson::{Asked, Change, Changed, Lesson, MarkSum, Marks, NewFault, Task};
pub use mentions::{Called, Mentions};
pub use offers::Offers;
pub use proven::Proven;
pub use reading::{Stop, StopFlag, Stopped};
pub use rewrite::{HornOf, is_written_for};
pub use rules::{Finding, Fix, House, Related, Safety, Severity};
pub use settings::{
    FILE_NAME, Found, InForce, KEYS, Key, Named, OnDisk, Origin, SetOfRule, Settings,
    SettingsError, Takes, Texts, Whom, discover, load, suggest,
};
pub use suggest::{Suggestion, suggest_instruction, suggest_music};
