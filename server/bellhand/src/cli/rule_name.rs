//! A rule's name as an argument: shells complete it, and a name that is none is left for the command to speak of.

use std::ffi::OsStr;

use clap::builder::{PossibleValue, StringValueParser, TypedValueParser};
use clap::{Arg, Command, Error};

/// Takes any words, and offers the rules' names.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RuleName;

impl TypedValueParser for RuleName {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        argument: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, Error> {
        StringValueParser::new().parse_ref(command, argument, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let names = rules::ALL.iter().map(|rule| PossibleValue::new(rule.name));
        Some(Box::new(names))
    }
}
