//! Work on a long piece is done by all cores side by side.

use rayon::prelude::*;
use score::Piece;

/// How many bars, those of all parts counted together, make it worth while; waking a second core and filling its
/// memory costs what it saves in a shorter piece. This project's choice, by measuring.
const LONG: usize = 512;

/// Does the same with each of several things, which lie in `piece`; the outcomes come in the order of the things. Fails
/// when one fails.
pub fn side_by_side<T: Sync, R: Send, E: Send>(
    piece: &Piece,
    things: &[T],
    work: impl Fn(&T) -> Result<R, E> + Sync,
) -> Result<Vec<R>, E> {
    if piece.bar_count() >= LONG {
        on_all_cores(things, work)
    } else {
        things.iter().map(work).collect()
    }
}

/// Does the same with each of several things that take long, however short the piece; the outcomes come in the order of the
/// things. Fails when one fails.
pub fn on_all_cores<T: Sync, R: Send, E: Send>(
    things: &[T],
    work: impl Fn(&T) -> Result<R, E> + Sync,
) -> Result<Vec<R>, E> {
    // Who is one of several workers has the others at work already.
    let alone = rayon::current_thread_index().is_none();
    if alone && things.len() > 1 {
        things.par_iter().map(&work).collect()
    } else {
        things.iter().map(work).collect()
    }
}

#[cfg(test)]
mod tests {
    use std::thread::{self, ThreadId};
    use std::time::Duration;

    use score::{Bar, Part};
    use theory::Quarters;

    use super::*;

    fn piece(bars: usize) -> Piece {
        let bar = Bar {
            number: 1,
            onset: Quarters::ZERO,
            length: Quarters::ONE,
            meter: None,
            runs: score::Runs::new(),
            close: None,
        };
        Piece {
            parts: vec![Part {
                bars: vec![bar; bars],
                ..Part::default()
            }],
            ..Piece::default()
        }
    }

    /// Doubles numbers, in a while, and tells who did it; fails at one.
    fn doubled(piece: &Piece, numbers: &[u32], failing: u32) -> Result<Vec<(u32, ThreadId)>, u32> {
        side_by_side(piece, numbers, |number| {
            // Long enough for others to come and help.
            thread::sleep(Duration::from_micros(100));
            if *number == failing {
                Err(failing)
            } else {
                Ok((2 * number, thread::current().id()))
            }
        })
    }

    #[test]
    fn outcomes_come_in_order_whoever_works() {
        let numbers: Vec<u32> = (0..500).collect();
        let here = thread::current().id();
        for (bars, at_once) in [(LONG, true), (LONG - 1, false)] {
            let piece = piece(bars);
            let done = doubled(&piece, &numbers, 500).unwrap();
            assert!(
                done.iter()
                    .map(|(two, _)| *two)
                    .eq((0..500).map(|one| 2 * one))
            );
            assert!(done.iter().all(|(_, who)| (*who != here) == at_once));
            assert_eq!(doubled(&piece, &numbers, 321), Err(321));
            assert_eq!(doubled(&piece, &[], 0), Ok(Vec::new()));
            // One thing needs no second worker.
            assert_eq!(doubled(&piece, &[4], 0), Ok(vec![(8, here)]));
        }
        // One of several workers does its own work.
        let (sender, receiver) = std::sync::mpsc::channel();
        rayon::spawn(move || {
            let worker = thread::current().id();
            let done = doubled(&piece(LONG), &numbers, 500).unwrap();
            sender
                .send(done.iter().all(|(_, who)| *who == worker))
                .unwrap();
        });
        assert!(receiver.recv().unwrap());
    }
}
