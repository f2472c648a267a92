//! One value for each level of player.

use crate::compass::Level;

impl Level {
    /// The value of this level among three, easiest level first.
    pub(crate) fn pick<T>(self, student: T, community: T, professional: T) -> T {
        match self {
            Self::Student => student,
            Self::Community => community,
            Self::Professional => professional,
        }
    }
}
