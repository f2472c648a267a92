//! The list of all rules.

use crate::rule::Rule;
use crate::{
    bell, breath, line, marks, mute, natural, notation, part, range, rip, section, stamina,
    stopped, text,
};

/// All rules, grouped by subject.
pub static ALL: &[&Rule] = &[
    &notation::key_signature::RULE,
    &notation::no_transposition::RULE,
    &notation::wrong_transposition::RULE,
    &notation::unnamed_crook::RULE,
    &notation::no_horn::RULE,
    &notation::awkward_spelling::RULE,
    &notation::unclear_accidental::RULE,
    &notation::clef::RULE,
    &notation::ledger_lines::RULE,
    &notation::bass_clef_convention::RULE,
    &range::too_high::RULE,
    &range::too_low::RULE,
    &range::weak_low::RULE,
    &range::soft_high::RULE,
    &range::edge::RULE,
    &range::wrong_seat::RULE,
    &stopped::too_low::RULE,
    &stopped::no_open::RULE,
    &stopped::mark_clash::RULE,
    &stopped::no_time::RULE,
    &stopped::unreachable::RULE,
    &stopped::single_b_flat::RULE,
    &mute::other_kind::RULE,
    &mute::no_time::RULE,
    &mute::not_removed::RULE,
    &mute::already::RULE,
    &rip::off_series::RULE,
    &rip::too_few::RULE,
    &rip::too_fast::RULE,
    &rip::downward::RULE,
    &rip::unmarked::RULE,
    &bell::no_time::RULE,
    &line::leap::RULE,
    &line::cold_high::RULE,
    &line::trill::RULE,
    &line::tongue_speed::RULE,
    &line::low_agility::RULE,
    &line::awkward_valves::RULE,
    &breath::no_place::RULE,
    &stamina::high_too_long::RULE,
    &stamina::no_rest::RULE,
    &natural::closed_note::RULE,
    &natural::crook_change::RULE,
    &section::crossing::RULE,
    &section::pairing::RULE,
    &section::unclear_unison::RULE,
    &section::chord_for_one::RULE,
    &section::wrong_players::RULE,
    &section::balance::RULE,
    &marks::language_mix::RULE,
    &marks::vague::RULE,
    &part::name::RULE,
    &part::no_cue::RULE,
    &text::unreadable::RULE,
];

/// The rule of a name, `group/name`.
#[must_use]
pub fn rule(name: &str) -> Option<&'static Rule> {
    ALL.iter().copied().find(|rule| rule.name == name)
}
