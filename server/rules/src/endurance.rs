//! What the players can spend, as a house sets it in the rules that judge it.

use reading::Endurance;

use crate::breath::no_place as breath;
use crate::house::House;
use crate::stamina::{high_too_long as high, no_rest as lip};

impl House {
    /// What a reader reckons with, so that the reading and the rules count alike.
    #[must_use]
    pub fn endurance(&self) -> Endurance {
        let breath_for = |setting| self.seconds(breath::RULE.name, setting).value;
        Endurance {
            breath: [&breath::SOFT, &breath::MEDIUM, &breath::LOUD].map(breath_for),
            breath_by_height: [&breath::LOW, &breath::HIGH]
                .map(|setting| self.number(breath::RULE.name, setting).value),
            breathing_rest: breath_for(&breath::REST),
            recovery: self.number(lip::RULE.name, &lip::RECOVERY).value,
            high_from: self.pitch(high::RULE.name, &high::FROM).value,
        }
    }

    /// The load, in seconds of mezzo forte on written C5, that the lip carries before it tires.
    #[must_use]
    pub fn lip_capacity(&self) -> f64 {
        self.seconds(lip::RULE.name, &lip::CAPACITY).value.0
    }
}
