//! The instrument: what a horn can play, how it is played, and who says so.

mod addressed;
mod breath;
mod calling;
mod carrying;
mod caution;
mod compass;
mod computed;
mod concert_pitch;
mod crook;
mod crook_name;
mod crook_style;
mod cue_name;
mod cueing;
mod doubling;
mod dynamics;
mod edge;
mod fingering;
mod fingering_chart;
mod hand_horn;
mod hand_time;
mod instrument;
mod instrument_name;
mod known_horn;
mod levels;
mod likeliest;
mod lines;
mod listening;
mod mute;
mod name;
mod name_words;
mod naming;
mod natural_name;
mod orchestra_instrument;
mod orchestra_limits;
mod other_instruments;
mod page_turn;
mod part_said;
mod players;
mod rename;
mod rip;
mod rip_time;
mod seating;
mod series;
mod shared_marks;
mod softness;
mod source;
mod staff;
mod stamina;
mod stopping;
mod string_words;
mod tempo_words;
mod term_words;
mod terms;
mod tone;
mod trill;
mod valve_work;
mod wording;
mod words;
mod written_for;

pub use addressed::{Address, Addressed, asks_multiphonics, read_address};
pub use breath::{
    AirUse, breath_high, breath_lasts, breath_low, breath_share, breaths_with_snatching,
    time_to_breathe,
};
pub use calling::{Called, call_like};
pub use carrying::{Loudness, covered_by, loudest_closed, weak_below};
pub use caution::caution;
pub use compass::{
    Height, Level, ParseLevelError, Register, beyond_all_players, comfortable, extreme_high,
    extreme_low, highest, lowest, projecting_from, register, solo_from,
};
pub use computed::high_f_side;
pub use crook::{ClefConvention, Crook};
pub use crook_name::{CrookName, read_crook};
pub use cue_name::{CueNames, CuedPart};
pub use cueing::{cue_heights, cue_reach, cue_share, cue_window, force_that_is_heard};
pub use doubling::TakenUp;
pub use dynamics::{Dynamic, degrees_of_a_hairpin, mark_after_a_hairpin};
pub use edge::{edge_attacks, edge_window, near_a_limit};
pub use fingering::{Fingering, fingering_source, fingerings, has_ordinarily};
pub use hand_horn::{HandNote, hand_note, time_to_change_crook};
pub use hand_time::{
    closing_hand_source, notes_between_turns, notes_near_stopping, rest_that_lowers_bells,
    time_in_a_series, time_to_lower_bells, time_to_raise_bells, time_to_turn_hand,
    turns_of_a_series,
};
pub use instrument::{Instrument, ParseInstrumentError};
pub use known_horn::{could_be_a_trumpet, read_name_of_horn};
pub use likeliest::likeliest;
pub use lines::{
    cold_after, cold_from, double_tongue, fastest_low, fastest_tremolo, leap_from, low_run,
    notes_of_tremolo, single_tongue, slow_below, time_to_prepare_leap, tongued_run, tremolo_from,
    wide_leap, widest_slur,
};
pub use listening::{
    concert_a, loudness_where_none_is_marked, share_for_rip, share_for_small_notes,
    time_for_small_note, time_for_small_notes,
};
pub use mute::{time_to_insert, time_to_remove};
pub use name::{PartName, read_name};
pub use name_words::is_of_brass_band;
pub use naming::{Naming, Numerals, check_e_flat, check_pattern, words_beside};
pub use orchestra_instrument::{Family, OrchestraInstrument, is_for_one};
pub use orchestra_limits::{
    after_beats_share, chords_in_a_row, drowned_for, dynamic_stays_fresh, follows_high_for,
    follows_high_from, fullest_minute, lives_low_below, lives_low_share, notes_of_a_line,
    notes_of_a_whole_part, rest_that_ends_a_doubling, rips_in_a_minute, thirds_growl_below,
    widest_gap_in_a_chord,
};
pub use page_turn::time_to_turn_page;
pub use part_said::{PartSaid, PartSaidError, read_part_said};
pub use rename::{is_at_concert_pitch, renamed};
pub use rip::{Rip, nearest_ends, nearest_starts, octave_start, rips, sweeps};
pub use rip_time::{time_before_rip, time_for_ripped_partial};
pub use seating::{Chair, bars_of_crossing, chair, high_chair_lowest, low_chair_highest};
pub use series::{Partial, Side, Tube, Valves, partials_at};
pub use shared_marks::{others_that_make_a_brass_band, others_that_share_a_mark};
pub use softness::{far_above_soft, highest_p_entry, highest_pp_entry, soft_climb};
pub use source::{Source, Sourced};
pub use staff::{
    bars_outweighed, clef_changes_in_a_row, highest_in_bass_clef, horns_for_one_brass,
    lowest_in_treble_clef, notes_for_a_clef, notes_in_a_clef, rest_before_cue, rest_before_dynamic,
};
pub use stamina::{
    height_load, high_for, high_from, lip_capacity, lip_recovery, lip_told_again, loudness_load,
    middle_of_load,
};
pub use stopping::{
    HandStopped, StoppedBy, StoppedQuality, half_stopped_fingering, hand_raises, hand_stopped,
    lowest_good_stopped, stopped_by, stopped_fingering, stopped_fingering_source, stopped_quality,
};
pub use string_words::{find_string_words, is_string_sign};
pub use tempo_words::{assumed, tempo_of, tempo_of_title};
pub use terms::{ForeignMute, Instruction, Language, Term, names_mute_alone, read_words};
pub use tone::{loudest_half_stopped, lowest_flutter, softest_brassy};
pub use trill::{TrillWay, highest_lip_trill, lowest_lip_trill, trill_way};
pub use valve_work::{awkward_change, change_cost, easiest, fast_fingers, fast_run};
pub use wording::Wording;
pub use written_for::{WrittenFor, WrittenForError};
