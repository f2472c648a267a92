//! The scanner of the grammar `abc`.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| bellhand_grammar_fuzz::once(&grammar_abc::LANGUAGE.into(), bytes));
