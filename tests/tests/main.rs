//! What crosses rooms, linked as one program: a program for each file would take longer to link than to run.

mod advice;
mod cues;
mod engraved;
mod faults;
mod lessons;
mod music21;
mod music21_orders;
mod music21_others;
mod music21_rewrite;
mod overlaps;
mod pictures;
mod round_trip;
mod schema;
mod seeded;
mod truth;
mod truth_kern;
mod truth_musicxml;
mod whole;
mod work;
