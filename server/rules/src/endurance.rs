//! What a reading rests on, as a house sets it.

use reading::{Endurance, Style};

use crate::breath::no_place as breath;
use crate::house::House;
use crate::stamina::{high_too_long as high, no_rest as lip};

impl House {
    /// What it says of a part that its reading rests on.
    #[must_use]
    pub fn style(&self) -> Style {
        Style {
            endurance: self.endurance(),
            pitch: self.pitch,
        }
    }

    /// What a reader reckons with, so that the reading and the rules count alike.
    #[must_use]
    pub fn endurance(&self) -> Endurance {
        let breath_for = |setting| self.seconds(breath::RULE.name, setting).value;
        Endurance {
            breath: [&breath::SOFT, &breath::MEDIUM, &breath::LOUD].map(breath_for),
            breath_by_height: [&breath::LOW, &breath::HIGH]
                .map(|setting| self.number(breath::RULE.name, setting).value),
            breathing_rest: breath_for(&breath::REST),
            capacity: self.seconds(lip::RULE.name, &lip::CAPACITY).value,
            recovery: self.number(lip::RULE.name, &lip::RECOVERY).value,
            high_from: self.pitch(high::RULE.name, &high::FROM).value,
        }
    }
}
