//! Where more of something begins within a minute than there may be.

use theory::Seconds;

/// A stretch in which every moment lies in a minute with too many.
pub(crate) struct Crowd {
    /// The first of them, by its place.
    pub first: usize,
    /// Where the fullest minute begins, by the place of its first.
    pub fullest: usize,
    /// The first that is one too many, by its place.
    pub over: usize,
    /// How many times as fast the music would have to go for none to be too many: below 1 where it is slower.
    pub ceases: f64,
}

/// A minute, in seconds.
const MINUTE: f64 = 60.0;

/// The crowded stretches among things that begin at some moments, in the order of time, of which `most` may begin within
/// a minute.
pub(crate) fn crowds(starts: &[Seconds], most: f64) -> Vec<Crowd> {
    let most = most as usize;
    let mut crowds: Vec<(Crowd, usize)> = Vec::new();
    for (first, (one, over)) in starts.iter().zip(starts.iter().skip(most)).enumerate() {
        let lasts = over.0 - one.0;
        if lasts >= MINUTE {
            continue;
        }
        let ceases = lasts / MINUTE;
        match crowds.last_mut().filter(|(_, last)| first <= *last) {
            Some((crowd, last)) => {
                if ceases < crowd.ceases {
                    (crowd.ceases, crowd.fullest) = (ceases, first);
                }
                *last = first + most;
            }
            None => {
                let crowd = Crowd {
                    first,
                    fullest: first,
                    over: first + most,
                    ceases,
                };
                crowds.push((crowd, first + most));
            }
        }
    }
    crowds.into_iter().map(|(crowd, _)| crowd).collect()
}
