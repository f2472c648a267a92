//! Which marks put the mute in or take it out.

use horn::Instruction;
use reading::PlayedMark;

/// Where a mark leaves the mute: `Some(true)` in, `Some(false)` out, `None` when it says nothing of it.
pub(super) const fn asked(mark: &PlayedMark) -> Option<bool> {
    match mark.said.instruction() {
        Instruction::MuteOn | Instruction::StoppingMute | Instruction::ForeignMute(_) => Some(true),
        Instruction::MuteOff => Some(false),
        // "Open" with no hand in the bell can only mean the mute.
        Instruction::Open
            if mark.before.muted() && matches!(mark.before.hand, reading::Hand::Open) =>
        {
            Some(false)
        }
        _ => None,
    }
}

/// The same, when the mark changes anything.
pub(super) const fn changes(mark: &PlayedMark) -> Option<bool> {
    match asked(mark) {
        Some(wanted) if wanted != mark.before.muted() => Some(wanted),
        _ => None,
    }
}
