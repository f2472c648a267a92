//! Many things done at once, their outcomes taken in order, and never more of them held than a few.

use std::collections::VecDeque;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, sync_channel};

/// How many outcomes may be under way or wait to be taken for each thread: enough that none stands idle behind a large
/// score, few enough that memory does not grow with the folder. Bellhand's own choice.
const AHEAD: usize = 8;

/// Works on items, as many at a time as there are threads, and takes the outcomes in the order of the items.
///
/// Fails with the first error of `take`; what has not been begun by then is not done.
pub fn in_order<I: Send, T: Send, E>(
    items: impl IntoIterator<Item = I>,
    work: impl Fn(I) -> T + Sync,
    mut take: impl FnMut(T) -> Result<(), E>,
) -> Result<(), E> {
    let most = AHEAD * rayon::current_num_threads();
    let given_up = AtomicBool::new(false);
    let (work, stop) = (&work, &given_up);
    rayon::in_place_scope_fifo(|scope| {
        let mut waiting: VecDeque<Receiver<T>> = VecDeque::with_capacity(most);
        // Nothing comes where the work panicked, which the scope passes on.
        let mut next = |first: Option<Receiver<T>>| match first.map(|one| one.recv()) {
            Some(Ok(outcome)) => take(outcome),
            Some(Err(_)) | None => Ok(()),
        };
        let all = || {
            for item in items {
                if waiting.len() == most {
                    next(waiting.pop_front())?;
                }
                let (give, receive) = sync_channel(1);
                waiting.push_back(receive);
                scope.spawn_fifo(move |_| {
                    if !stop.load(Ordering::Relaxed) {
                        let _ = give.send(work(item));
                    }
                });
            }
            while let Some(one) = waiting.pop_front() {
                next(Some(one))?;
            }
            Ok(())
        };
        let done = all();
        stop.store(true, Ordering::Relaxed);
        done
    })
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::AtomicUsize;

    use super::*;

    #[test]
    fn outcomes_come_in_order_and_few_at_a_time() {
        let (begun, taken) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let furthest = AtomicUsize::new(0);
        let mut outcomes = Vec::new();
        let done: Result<(), ()> = in_order(
            0..1000_usize,
            |item| {
                let ahead = begun.fetch_add(1, Ordering::SeqCst) + 1;
                let ahead = ahead.saturating_sub(taken.load(Ordering::SeqCst));
                furthest.fetch_max(ahead, Ordering::SeqCst);
                // The first of every ten takes far longer than the others.
                let turns = if item % 10 == 0 { 200_000 } else { 10 };
                (0..turns).fold(item, |sum, turn| std::hint::black_box(sum ^ turn ^ turn))
            },
            |item| {
                taken.fetch_add(1, Ordering::SeqCst);
                outcomes.push(item);
                Ok(())
            },
        );
        assert_eq!(done, Ok(()));
        assert_eq!(outcomes, (0..1000).collect::<Vec<_>>());
        let most = AHEAD * rayon::current_num_threads();
        let furthest = furthest.into_inner();
        println!("1000 outcomes in order, at most {furthest} at a time");
        assert!(furthest <= most + 1, "{furthest} of {most}");
    }

    #[test]
    fn an_error_ends_the_work() {
        let begun = AtomicUsize::new(0);
        let done = in_order(
            0..100_000,
            |item| {
                begun.fetch_add(1, Ordering::SeqCst);
                item
            },
            |item| if item == 3 { Err(item) } else { Ok(()) },
        );
        assert_eq!(done, Err(3));
        assert!(begun.into_inner() < 1000);
    }
}
