//! Which bar of an answer is which bar of the lesson.

use similar::{Algorithm, DiffOp, capture_diff_slices};

use super::music::PieceMusic;

/// Pieces with more bars than this are compared bar by bar from their start, however many bars the other has; finding
/// what is alike costs up to the square of it. Bellhand's own choice.
const MOST_BARS: usize = 4000;

/// The bars of a lesson's piece and those of an answer, by their places.
#[derive(Debug)]
pub(super) struct Alignment {
    /// For each bar of the lesson the answer's.
    pub(super) of_lesson: Vec<Option<usize>>,
    /// For each bar of the answer the lesson's.
    pub(super) of_answer: Vec<Option<usize>>,
}

impl Alignment {
    /// With as many bars as before each is the one it was; else those that sound alike are found.
    pub(super) fn of(lesson: &PieceMusic<'_>, answer: &PieceMusic<'_>) -> Self {
        let (was, is) = (lesson.bars(), answer.bars());
        let mut aligned = Self {
            of_lesson: vec![None; was],
            of_answer: vec![None; is],
        };
        if was == is || was.max(is) > MOST_BARS {
            aligned.pair(0, 0, was.min(is));
            return aligned;
        }
        let digests = |music: &PieceMusic<'_>, bars: usize| -> Vec<u64> {
            (0..bars).map(|bar| music.digest_of_all(bar)).collect()
        };
        let (was, is) = (digests(lesson, was), digests(answer, is));
        for op in capture_diff_slices(Algorithm::Myers, &was, &is) {
            match op {
                DiffOp::Equal {
                    old_index,
                    new_index,
                    len,
                } => aligned.pair(old_index, new_index, len),
                DiffOp::Replace {
                    old_index,
                    old_len,
                    new_index,
                    new_len,
                } => aligned.pair(old_index, new_index, old_len.min(new_len)),
                DiffOp::Delete { .. } | DiffOp::Insert { .. } => {}
            }
        }
        aligned
    }

    fn pair(&mut self, was: usize, is: usize, count: usize) {
        for (was, is) in (was..).zip(is..).take(count) {
            if let (Some(of_lesson), Some(of_answer)) =
                (self.of_lesson.get_mut(was), self.of_answer.get_mut(is))
            {
                *of_lesson = Some(is);
                *of_answer = Some(was);
            }
        }
    }
}
