//! Which sound of General MIDI an instrument is played by.

use horn::OrchestraInstrument;

/// The program of an instrument, counted from 0 (General MIDI Level 1 Sound Set, MIDI Manufacturers Association, 1991).
pub(super) const fn program(instrument: OrchestraInstrument) -> u8 {
    match instrument {
        OrchestraInstrument::Flute => 73,
        OrchestraInstrument::Oboe => 68,
        OrchestraInstrument::Clarinet => 71,
        OrchestraInstrument::Bassoon => 70,
        OrchestraInstrument::Saxophone => 65,
        OrchestraInstrument::Horn => 60,
        OrchestraInstrument::Trumpet => 56,
        OrchestraInstrument::Trombone => 57,
        OrchestraInstrument::Tuba => 58,
        OrchestraInstrument::Violin => 40,
        OrchestraInstrument::Viola => 41,
        OrchestraInstrument::Cello => 42,
        OrchestraInstrument::DoubleBass => 43,
        OrchestraInstrument::Strings => 48,
        OrchestraInstrument::Percussion => 47,
        OrchestraInstrument::Plucked => 46,
        OrchestraInstrument::Keyboard => 0,
        OrchestraInstrument::Voice => 52,
    }
}
