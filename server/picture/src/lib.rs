//! A horn part drawn as its player feels it: the line over a staff against time, with register, hand and mute, breath,
//! lip and findings.

mod curves;
mod findings;
mod legend;
mod notes;
mod page;
mod rips;
mod sheet;
mod staff;
mod style;
mod subject;
mod systems;
mod time;
mod words;

pub use page::draw;
pub use subject::{Options, Picture, Pitched, Place, Subject};
