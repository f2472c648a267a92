//! What a horn player would say about a part: one rule a file, grouped by subject.

mod assumed;
mod calls;
mod catalogue;
mod change;
mod context;
mod crowd;
mod docs;
mod endurance;
pub mod explain;
mod finding;
mod house;
mod lesson;
mod rule;
mod selector;
mod setting;
mod settled;
mod words;

mod balance;
mod bell;
mod breath;
mod doubling;
mod line;
mod louder;
mod marks;
mod mute;
mod natural;
mod notation;
mod part;
mod range;
mod rip;
mod section;
mod stamina;
mod stopped;
mod text;
mod tone;

pub use assumed::{AtAssumedTempo, Ceases, once_a_part};
pub use calls::HouseCalls;
pub use catalogue::{ALL, rule};
pub use context::{
    AmongContext, FindingsContext, IgnoreContext, Ignored, PartContext, PieceContext, ScoreContext,
};
pub use docs::{Example, examples};
pub use finding::{Finding, Fix, Related, Safety};
pub use house::House;
pub use lesson::{Expected, FindingPlace, LessonSaid, Places, SaidTask};
pub use rule::{Check, LooksAt, RestsOn, Rule, Severity};
pub use selector::RuleSelector;
pub use setting::{Given, Kind, Setting, Value};
pub use settled::hold_back;
pub use words::{HouseLanguage, HouseWords};
