//! What the player must do at each note: worked out once, shared by every rule, hover and picture.

mod away;
mod common;
mod crook;
mod effort;
mod growth;
mod heard;
mod note;
mod orchestra;
mod part;
mod performed;
mod piece;
mod players;
mod roster;
mod side_by_side;
mod sounding;
mod stop;
mod style;
mod technique;
mod tempo;

pub use away::Absence;
pub use crook::{Contrary, CrookInForce, CrookSaid, Disagreement, Fault};
pub use effort::{Effort, Endurance, Pass, Spent};
pub use growth::Growth;
pub use heard::{Heard, OtherSound};
pub use note::{PlayedMark, PlayedNote, Said};
pub use orchestra::{Around, Cue, CueLine, Harmony, NotShown, Playing};
pub use part::{HornPart, RipMark};
pub use performed::{Pace, Performed, Turn, which_time};
pub use piece::{PieceReading, read};
pub use players::{Call, Players};
pub use roster::{Casting, HornSaid, Seat, WrittenOf};
pub use side_by_side::side_by_side;
pub use sounding::Sounding;
pub use stop::{Stop, StopFlag, Stopped, ToTheEnd};
pub use style::Style;
pub use technique::{Hand, Mute, Technique, Tone};
