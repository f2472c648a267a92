//! The scanner of the grammar `kern`.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| bellhand_grammar_fuzz::once(&grammar_kern::LANGUAGE.into(), bytes));
