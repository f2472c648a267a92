//! The instrument: what a horn can play, how it is played, and who says so.

mod caution;
mod compass;
mod crook;
mod crook_name;
mod dynamics;
mod fingering;
mod fingering_chart;
mod mute;
mod name;
mod name_words;
mod players;
mod rip;
mod series;
mod source;
mod staff;
mod stopping;
mod tempo_words;
mod term_words;
mod terms;
mod words;

pub use caution::caution;
pub use compass::{
    Height, Level, ParseLevelError, Register, comfortable, extreme_high, extreme_low, highest,
    lowest, projecting_from, register, solo_from,
};
pub use crook::{ClefConvention, Crook};
pub use crook_name::{CrookName, read_crook};
pub use dynamics::Dynamic;
pub use fingering::{Fingering, fingering_source, fingerings};
pub use mute::{time_to_insert, time_to_remove};
pub use name::{PartName, read_name};
pub use rip::{Rip, nearest_ends, rips};
pub use series::{Partial, Side, Tube, Valves, partials_at};
pub use source::{Source, Sourced};
pub use staff::{balance_source, highest_in_bass_clef, lowest_in_treble_clef};
pub use stopping::{
    StoppedQuality, lowest_good_stopped, stopped_fingering, stopped_fingering_source,
    stopped_quality,
};
pub use tempo_words::{assumed, tempo_of};
pub use terms::{ForeignMute, Instruction, Language, Term, read_words};
